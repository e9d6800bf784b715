import { type Static, Type } from 'typebox'
import { who } from './act-kinds/act-kind.ts'
import { strict } from './schema.ts'

export const ArchiveAsk = strict({
  who,
  before: Type.String({
    minLength: 10,
    maxLength: 40,
    description: 'A day, or a time, ISO 8601: the years before it are over.',
  }),
})
export type ArchiveAsk = Static<typeof ArchiveAsk>

/** What was written: a whole history, and a note about it. */
export const Archived = strict({
  file: Type.String(),
  records: Type.Integer({ minimum: 0, description: 'How many are in it.' }),
  recordsBefore: Type.Integer({ minimum: 0, description: 'Of them started before the day.' }),
  head: Type.String({ description: 'Hash of its last record.' }),
  sha256: Type.String({ description: 'Of the file, hexadecimal.' }),
  act: Type.Integer({ minimum: 1, description: 'The note about it in the log of acts.' }),
})
export type Archived = Static<typeof Archived>
