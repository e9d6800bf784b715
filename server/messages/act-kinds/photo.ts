import { Type } from 'typebox'
import { oneOf } from '../schema.ts'
import { defineAct } from './act-kind.ts'

export const PHOTO_TYPES = ['image/jpeg', 'image/png', 'image/webp'] as const
export type PhotoType = (typeof PHOTO_TYPES)[number]

/** A photo of today's telephones, and some. */
export const PHOTO_MAX_BYTES = 8 * 1024 * 1024

const sha256 = Type.String({
  pattern: '^[0-9a-f]{64}$',
  description: 'SHA-256 of the photo, hexadecimal: it was handed in before.',
})

export const photo = defineAct({
  kind: 'photo',
  address: 'photos',
  summary: 'Put a photo to a bend that was handed in before',
  may: 'operator',
  unsigns: true,
  fields: {
    sha256,
    type: oneOf(PHOTO_TYPES),
    bytes: Type.Integer({ minimum: 1, maximum: PHOTO_MAX_BYTES }),
    caption: Type.String({
      minLength: 1,
      maxLength: 200,
      pattern: '\\S',
      description: 'What it shows.',
    }),
  },
})
