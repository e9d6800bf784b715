/** As much of JSON Schema as blocks use. */
export interface Schema {
  readonly type?: string
  readonly description?: string
  readonly default?: unknown
  readonly minimum?: number
  readonly exclusiveMinimum?: number
  readonly maximum?: number
  readonly exclusiveMaximum?: number
  readonly minLength?: number
  readonly maxLength?: number
  readonly pattern?: string
  readonly enum?: readonly unknown[]
  readonly const?: unknown
  readonly anyOf?: readonly Schema[]
}

/** Every parameter's own schema, in the order of the block's. */
export const propertiesOf = (
  schema: Readonly<Record<string, unknown>>,
): Readonly<Record<string, Schema>> =>
  (schema['properties'] ?? {}) as Readonly<Record<string, Schema>>

/** What may be chosen; empty where it is no choice. */
export function choicesOf({ enum: words, anyOf }: Schema): readonly unknown[] {
  if (words !== undefined) return words
  return (anyOf ?? []).flatMap((choice) => (choice.const === undefined ? [] : [choice.const]))
}

/** The bounds of a number in signs; empty where it has none. */
export function boundsOf({ minimum, exclusiveMinimum, maximum, exclusiveMaximum }: Schema): string {
  const low =
    minimum !== undefined
      ? `≥ ${minimum}`
      : exclusiveMinimum !== undefined && `> ${exclusiveMinimum}`
  const high =
    maximum !== undefined
      ? `≤ ${maximum}`
      : exclusiveMaximum !== undefined && `< ${exclusiveMaximum}`
  return [low, high].filter(Boolean).join(', ')
}

/** A value of a parameter as a person reads it. */
export const textOf = (value: unknown): string =>
  typeof value === 'string' ? value : (JSON.stringify(value) ?? '')
