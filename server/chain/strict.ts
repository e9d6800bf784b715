import { type TProperties, Type } from 'typebox'

/** An object that refuses unknown keys: a misspelt name is a mistake, never silently nothing. */
export const strict = <P extends TProperties>(properties: P) =>
  Type.Object(properties, { additionalProperties: false })
