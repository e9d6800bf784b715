export type Json = null | boolean | number | string | Json[] | { [name: string]: Json }

/** The same with each value in turn another one; each name in turn gone. */
export function* altered(value: Json): Generator<Json> {
  if (typeof value === 'object' && value !== null)
    for (const [name, item] of Object.entries(value)) {
      for (const other of altered(item))
        yield Array.isArray(value) ? value.with(Number(name), other) : { ...value, [name]: other }
      if (Array.isArray(value)) continue
      const { [name]: _, ...rest } = value
      yield rest
    }
  else if (typeof value === 'number') yield value + 1
  else if (typeof value === 'boolean') yield !value
  else if (typeof value === 'string') yield `${value}.`
  else yield 0
}
