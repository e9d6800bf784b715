import type { ChainBlock } from '../../../server/messages/chain.ts'

export interface ParameterText {
  readonly name: string
  readonly value: string
  /** What it may be, in words; empty where the schema names no bounds. */
  readonly range: string
  readonly help: string
}

/** As much of JSON Schema as blocks use. */
interface Schema {
  readonly description?: string
  readonly minimum?: number
  readonly exclusiveMinimum?: number
  readonly maximum?: number
  readonly exclusiveMaximum?: number
  readonly enum?: readonly unknown[]
  readonly const?: unknown
  readonly anyOf?: readonly Schema[]
}

const textOf = (value: unknown): string =>
  typeof value === 'string' ? value : (JSON.stringify(value) ?? '')

function choicesOf({ enum: words, anyOf }: Schema): readonly unknown[] {
  if (words !== undefined) return words
  return (anyOf ?? []).flatMap((choice) => (choice.const === undefined ? [] : [choice.const]))
}

function boundsOf({ minimum, exclusiveMinimum, maximum, exclusiveMaximum }: Schema): string {
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

function rangeOf(schema: Schema): string {
  const choices = choicesOf(schema)
  return choices.length > 0 ? choices.map(textOf).join(' · ') : boundsOf(schema)
}

/** Every parameter of a block, in the order of its schema. */
export function parameterTexts({
  parameters,
  schema,
}: Pick<ChainBlock, 'parameters' | 'schema'>): ParameterText[] {
  const properties = (schema['properties'] ?? {}) as Readonly<Record<string, Schema>>
  return Object.entries(properties).map(([name, property]) => ({
    name,
    value: textOf(parameters[name]),
    range: rangeOf(property),
    help: property.description ?? '',
  }))
}
