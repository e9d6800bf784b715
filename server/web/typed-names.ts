import { spacedOnce, unseenIn } from '../messages/person-name.ts'
import { PERSON_MARK } from '../messages/schema.ts'
import { Refused } from './station-door.ts'

/** The schema of a body, as far as it matters here. */
export interface BodyShape {
  readonly properties?: Readonly<Record<string, { readonly [PERSON_MARK]?: true }>>
}

/** A name as somebody typed it, spaced once. @throws Refused `bad-input` where something in it cannot be seen. */
export function typedName(name: string, field: string): string {
  const unseen = unseenIn(name)
  if (unseen !== null) throw new Refused('bad-input', `${field} ${unseen}`, field)
  return spacedOnce(name)
}

/** A body with the names of people in it as `typedName` gives them; all else stays as it was typed. */
export function withTypedNames(body: object, shape: BodyShape | undefined): object {
  const cleaned = Object.entries(shape?.properties ?? {}).flatMap(
    ([field, { [PERSON_MARK]: isPerson }]) => {
      const typed = Object.hasOwn(body, field) ? Reflect.get(body, field) : undefined
      if (!isPerson || typeof typed !== 'string') return []
      return [[field, typedName(typed, field)]]
    },
  )
  // An image is no list of fields: what holds no name goes on as it is.
  return cleaned.length === 0 ? body : { ...body, ...Object.fromEntries(cleaned) }
}
