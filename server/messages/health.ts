import { type Static, Type } from 'typebox'
import { Keeping } from './keeping.ts'
import { LinkState } from './live.ts'
import { orNull, strict } from './schema.ts'

export const Health = strict({
  ok: Type.Boolean(),
  software: Type.String(),
  upS: Type.Number(),
  link: LinkState,
  bends: Type.Integer(),
  unsaved: Type.Integer(),
  keeping: Keeping,
  storage: orNull(Type.String({ description: 'What the disk refused, if it did.' })),
})
export type Health = Static<typeof Health>
