import { type Static, Type } from 'typebox'
import { name, oneOf, strict } from './schema.ts'

/**
 * Whether a bend is to teach springback: `put-back` although it does not fit the others, `taken-out` although it
 * does, `as-found` again as the others have it.
 */
export const DECISIONS = ['put-back', 'taken-out', 'as-found'] as const

const decided = {
  who: name('Who decides. This attributes it; it is no proof of identity.'),
  decision: oneOf(DECISIONS, { description: 'Whether the bend is to teach springback.' }),
  reason: Type.String({
    minLength: 1,
    maxLength: 500,
    pattern: '\\S',
    description: 'Why, for whoever asks later.',
  }),
}

export const TeachingAsk = strict(decided)
export type TeachingAsk = Static<typeof TeachingAsk>

/** Names a record so that another one in its place shows. */
const Named = strict({
  number: Type.Integer({ minimum: 1, description: 'Place in the history.' }),
  hash: Type.String({ description: 'Hash of that record, hexadecimal.' }),
})

/** What a person did about a recorded bend, as it is handed to the history. The bend itself never changes. */
export const NewAct = strict({
  kind: Type.Literal('teaching'),
  schema: Type.Literal(1),
  at: Type.String({ description: 'ISO 8601 with offset.' }),
  ...decided,
  bendId: Type.Integer({ minimum: 1, maximum: Number.MAX_SAFE_INTEGER }),
  software: Type.String(),
})
export type NewAct = Static<typeof NewAct>

/** An act as the log keeps it: numbered, chained by hash, and tied to the chain of the bends. */
export const Act = strict({
  id: Type.Integer({ minimum: 1, description: 'Place in the log of acts, from 1, without gaps.' }),
  ...NewAct.properties,
  bend: Named,
  after: Named,
  previousHash: Type.String({ description: 'SHA-256 of the act before, hexadecimal.' }),
  hash: Type.String({ description: 'SHA-256 over the previous hash and this act (RFC 8785).' }),
})
export type Act = Static<typeof Act>
