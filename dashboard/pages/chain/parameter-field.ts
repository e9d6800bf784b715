import { words } from '../../words/en.ts'
import { boundsOf, choicesOf, propertiesOf, type Schema, textOf } from './schema.ts'

const { edit: say } = words.chain

/** A parameter as a field of a form. */
export interface ParameterField {
  readonly name: string
  readonly form: 'choice' | 'boolean' | 'number' | 'integer' | 'text'
  readonly choices: readonly unknown[]
  readonly schema: Schema
  /** Range and default, for the reader. */
  readonly range: string
  readonly help: string
}

function formOf(schema: Schema): ParameterField['form'] {
  if (choicesOf(schema).length > 0) return 'choice'
  if (schema.type === 'boolean' || schema.type === 'number' || schema.type === 'integer')
    return schema.type
  return 'text'
}

/** Every parameter of a block, in the order of its schema. */
export const parameterFields = (schema: Readonly<Record<string, unknown>>): ParameterField[] =>
  Object.entries(propertiesOf(schema)).map(([name, property]) => ({
    name,
    form: formOf(property),
    choices: choicesOf(property),
    schema: property,
    range: say.range(boundsOf(property), textOf(property.default)),
    help: property.description ?? '',
  }))

const isWithin = (value: number, schema: Schema) =>
  value >= (schema.minimum ?? -Infinity) &&
  value <= (schema.maximum ?? Infinity) &&
  value > (schema.exclusiveMinimum ?? -Infinity) &&
  value < (schema.exclusiveMaximum ?? Infinity)

type Read = { readonly value: unknown } | { readonly why: string }

function readNumber(text: string, { form, schema }: ParameterField): Read {
  const value = Number(text.replace('\u2212', '-').replace(',', '.'))
  if (!Number.isFinite(value)) return { why: say.noNumber(text) }
  if (form === 'integer' && !Number.isSafeInteger(value)) return { why: say.noInteger(text) }
  return isWithin(value, schema) ? { value } : { why: say.outside(boundsOf(schema)) }
}

/** What was typed or chosen, as the chain file has it. Left empty, a number is at its default. */
export function readField(text: string, field: ParameterField): Read {
  const { form, choices, schema } = field
  if (form === 'choice') return { value: choices.find((choice) => textOf(choice) === text) }
  if (form === 'boolean') return { value: text === 'true' }
  if (form !== 'text')
    return text.trim() === '' ? { value: undefined } : readNumber(text.trim(), field)
  if (text.length > (schema.maxLength ?? Infinity))
    return { why: say.tooLong(schema.maxLength ?? 0) }
  if (schema.pattern !== undefined && !new RegExp(schema.pattern, 'u').test(text))
    return { why: say.noMatch(schema.pattern) }
  return { value: text }
}
