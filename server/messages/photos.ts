import { type Static, Type } from 'typebox'
import { PHOTO_TYPES } from './act-kinds/photo.ts'
import { oneOf, strict } from './schema.ts'

/** A photo as it lies in the history; it belongs to a bend once an act names it. */
export const KeptPhoto = strict({
  sha256: Type.String(),
  type: oneOf(PHOTO_TYPES),
  bytes: Type.Integer({ minimum: 1 }),
})
export type KeptPhoto = Static<typeof KeptPhoto>
