import type { FastifySchemaCompiler } from 'fastify'
import type { TSchema } from 'typebox'
import { Compile } from 'typebox/compile'
import { Value } from 'typebox/value'
import { SECRET_FORMAT } from '../messages/schema.ts'
import { Refused } from './station-door.ts'

/** One finding of the schema check, as JSON Schema validators word it. */
interface Finding {
  readonly keyword: string
  /** Where in the schema: `#/properties/tube/properties/odMm`. */
  readonly schemaPath: string
  readonly instancePath: string
  readonly params: object
}

type Params = Readonly<Record<string, unknown>>

/** Longest piece of a caller's own input that a sentence repeats. */
const QUOTED_MAX = 40

const quoted = (value: unknown) => {
  const text = JSON.stringify(value) ?? 'nothing'
  return text.length > QUOTED_MAX ? `${text.slice(0, QUOTED_MAX)}…` : text
}

const wordsOf = (value: unknown) => (Array.isArray(value) ? value.map(quoted).join(', ') : '')
const kindOf = (type: unknown) => (/^[aeiou]/.test(String(type)) ? `an ${type}` : `a ${type}`)

const MUST: Readonly<Record<string, (params: Params) => string>> = {
  type: ({ type }) => `must be ${kindOf(type)}`,
  minimum: ({ limit }) => `must be at least ${limit}`,
  maximum: ({ limit }) => `must be at most ${limit}`,
  exclusiveMinimum: ({ limit }) => `must be more than ${limit}`,
  exclusiveMaximum: ({ limit }) => `must be less than ${limit}`,
  minLength: ({ limit }) =>
    limit === 1 ? 'must not be empty' : `must be at least ${limit} characters long`,
  maxLength: ({ limit }) => `must be at most ${limit} characters long`,
  maxItems: ({ limit }) => `must have at most ${limit} entries`,
  enum: ({ allowedValues }) => `must be one of ${wordsOf(allowedValues)}`,
  const: ({ allowedValue }) => `must be ${quoted(allowedValue)}`,
  pattern: ({ pattern }) => `must look like ${pattern}`,
  format: ({ format }) =>
    format === 'date' ? 'must be a day of the calendar such as 2026-01-31' : `must be a ${format}`,
}

const firstOf = (value: unknown): unknown => (Array.isArray(value) ? value[0] : undefined)

/** JSON pointer to the dotted path that a person reads: `/tube/odMm` is `tube.odMm`. */
const dotted = (pointer: string, more?: unknown) =>
  [...pointer.split('/').slice(1), ...(more === undefined ? [] : [more])].join('.')

function valueAt(root: unknown, pointer: string): unknown {
  const step = (value: unknown, key: string) =>
    typeof value === 'object' && value !== null ? Reflect.get(value, key) : undefined
  return pointer.split('/').slice(1).reduce(step, root)
}

/** Findings that only say that a deeper finding exists, or that null would have done as well. */
const isEcho = ({ keyword, params }: Finding) =>
  keyword === 'anyOf' || keyword === 'boolean' || (params as Params)['type'] === 'null'

const isObject = (value: unknown): value is object => typeof value === 'object' && value !== null

/** Whether this part of a schema is a secret, or holds one. */
const holdsSecret = (schema: unknown): boolean =>
  isObject(schema) &&
  (Reflect.get(schema, 'format') === SECRET_FORMAT || Object.values(schema).some(holdsSecret))

/** Whether what breaks the schema here is not to be repeated: a secret, something in one, or what holds one. */
function isSecret(schema: unknown, schemaPath: string): boolean {
  let here = schema
  for (const key of schemaPath.split('/').slice(1)) {
    here = isObject(here) ? Reflect.get(here, key) : undefined
    if (isObject(here) && Reflect.get(here, 'format') === SECRET_FORMAT) return true
  }
  return holdsSecret(here)
}

/** The first finding that says most, as one sentence with the field's name in it, and with its value unless that is a secret. */
function refusalOf(
  findings: readonly Finding[],
  root: unknown,
  part: string,
  schema: TSchema,
): Refused {
  const finding = findings.find((one) => !isEcho(one)) ?? findings[0]
  if (!finding) return new Refused('bad-input', `The ${part} is not what is asked for here.`)
  const { keyword, instancePath, schemaPath } = finding
  const params = finding.params as Params
  if (keyword === 'required') {
    const field = dotted(instancePath, firstOf(params['requiredProperties']))
    return new Refused('bad-input', `${field} is missing.`, field)
  }
  if (keyword === 'additionalProperties') {
    const field = dotted(instancePath, firstOf(params['additionalProperties']))
    return new Refused('bad-input', `${quoted(field)} is not known here; leave it out.`, field)
  }
  const must = MUST[keyword]?.(params) ?? 'is not what is asked for here'
  const field = dotted(instancePath)
  if (field === '') return new Refused('bad-input', `The ${part} ${must}.`)
  const got = isSecret(schema, schemaPath) ? '' : `, not ${quoted(valueAt(root, instancePath))}`
  return new Refused('bad-input', `${field} ${must}${got}.`, field)
}

const NUMBER_TEXT = /^-?\d{1,15}(\.\d{1,15})?$/

/** In an address everything is text: where the schema wants a number, a plain number is read as one. */
function readNumbers(schema: TSchema, value: unknown): unknown {
  const { properties = {} } = schema as { properties?: Readonly<Record<string, unknown>> }
  if (typeof value !== 'object' || value === null) return value
  const read = ([key, text]: [string, unknown]) => {
    const { type } = (Object.hasOwn(properties, key) ? properties[key] : {}) as { type?: unknown }
    const isNumber = type === 'integer' || type === 'number'
    const reads = isNumber && typeof text === 'string' && NUMBER_TEXT.test(text)
    return [key, reads ? Number(text) : text]
  }
  return Object.fromEntries(Object.entries(value).map(read))
}

const PART_NAMES: Readonly<Record<string, string>> = {
  body: 'body',
  querystring: 'query',
  params: 'address',
}

/**
 * Checks a part of a request against its schema. Nothing is coerced in a body and no unknown key is
 * let through; defaults are filled in. A breach is refused with one sentence that names the field.
 */
export const compileValidator: FastifySchemaCompiler<TSchema> = ({ schema, httpPart = 'body' }) => {
  const check = Compile(schema)
  const part = PART_NAMES[httpPart] ?? httpPart
  return (input: unknown) => {
    const value =
      httpPart === 'body' ? input : Value.Default(schema, readNumbers(schema, input ?? {}))
    if (check.Check(value)) return { value }
    return { error: refusalOf(check.Errors(value), value, part, schema) }
  }
}
