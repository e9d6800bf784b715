import { type TProperties, type TSchema, Type } from 'typebox'

/** An object that refuses unknown keys: a misspelt name is a mistake, never silently nothing. */
export const strict = <P extends TProperties>(properties: P) =>
  Type.Object(properties, { additionalProperties: false })

/** A value that may be absent, written as null so that every key is always there. */
export const orNull = <S extends TSchema>(schema: S) => Type.Union([schema, Type.Null()])

export const oneOf = <const T extends readonly string[]>(
  words: T,
  options: { readonly description?: string } = {},
) => Type.Unsafe<T[number]>({ type: 'string', enum: [...words], ...options })

/** A bend or readout angle, degrees. */
export const angleDeg = (description: string) =>
  Type.Number({ minimum: -3600, maximum: 3600, description })

/** A short name typed by a person: printable, trimmed, never empty. */
export const name = (description: string) =>
  Type.String({ minLength: 1, maxLength: 80, description })

/** Marks the name of a person who acts, as somebody types it (`server/web/typed-names.ts`); what is stored is not held to it. */
export const PERSON_MARK = 'x-person-name'

export const personName = (description: string) =>
  Type.String({ minLength: 1, maxLength: 80, [PERSON_MARK]: true, description })

/** A format that JSON Schema and OpenAPI know: the value is to be hidden, and no sentence, log or answer repeats it. */
export const SECRET_FORMAT = 'password'

/** What only whoever types it knows. Nothing that is refused quotes it. */
export const secret = (
  description: string,
  lengths: { readonly minLength?: number; readonly maxLength: number },
) => Type.String({ ...lengths, format: SECRET_FORMAT, description })
