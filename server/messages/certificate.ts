import { type Static, Type } from 'typebox'
import { name, strict } from './schema.ts'

/** Which bends go on paper: a part, one piece of it, a lot, or both. */
export const CertificateAsk = strict({
  part: Type.Optional(name('Part or drawing number.')),
  piece: Type.Optional(
    Type.Integer({ minimum: 1, maximum: 1_000_000, description: 'One piece of the part.' }),
  ),
  lot: Type.Optional(name('Lot or heat of the tube.')),
})
export type CertificateAsk = Static<typeof CertificateAsk>
