import type { ChainBlock } from '../../../server/messages/chain.ts'
import { boundsOf, choicesOf, propertiesOf, type Schema, textOf } from './schema.ts'

export interface ParameterText {
  readonly name: string
  readonly value: string
  /** What it may be, in words; empty where the schema names no bounds. */
  readonly range: string
  readonly help: string
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
  return Object.entries(propertiesOf(schema)).map(([name, property]) => ({
    name,
    value: textOf(parameters[name]),
    range: rangeOf(property),
    help: property.description ?? '',
  }))
}
