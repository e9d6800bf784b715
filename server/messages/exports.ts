import { type Static, Type } from 'typebox'
import type { BendFilter } from './find.ts'
import { name, oneOf, orNull, strict } from './schema.ts'

const LEAVING_FORMATS = ['csv', 'json', 'signed', 'certificate'] as const
export type LeavingFormat = (typeof LEAVING_FORMATS)[number]

/** Bends that left the daemon as a file, as it is handed to the history. */
export const NewExport = strict({
  schema: Type.Literal(1),
  at: Type.String({ description: 'When it was asked for, ISO 8601 with offset.' }),
  who: orNull(name('Who was signed in there; null: nobody.')),
  device: Type.String({ maxLength: 80, description: 'Address of the device that asked.' }),
  format: oneOf(LEAVING_FORMATS, { description: 'What it left as.' }),
  filter: Type.Record(Type.String(), Type.Union([Type.String(), Type.Number()]), {
    description: 'Which bends were asked for; nothing in it: all of them.',
  }),
  records: Type.Integer({ minimum: 0, description: 'How many bends fitted that.' }),
  software: Type.String(),
})
export type NewExport = Static<typeof NewExport>

/** A file of bends that leaves now. */
export interface Leaving extends Pick<NewExport, 'who' | 'device'> {
  readonly format: LeavingFormat
  readonly filter: BendFilter
}

/** The same as the log keeps it: numbered, chained by hash, and tied to the chain of the bends. */
export const LoggedExport = strict({
  id: Type.Integer({ minimum: 1, description: 'Place in the log of exports.' }),
  ...NewExport.properties,
  after: orNull(
    strict({
      number: Type.Integer({ minimum: 1, description: 'The last record there was.' }),
      hash: Type.String({ description: 'Its hash, hexadecimal: the head of that moment.' }),
    }),
  ),
  previousHash: Type.String(),
  hash: Type.String(),
})
export type LoggedExport = Static<typeof LoggedExport>

export const LoggedExportQuery = strict({
  before: Type.Optional(Type.Integer({ minimum: 1, description: 'Only entries before this one.' })),
  limit: Type.Integer({ minimum: 1, maximum: 500, default: 50 }),
})
export type LoggedExportQuery = Static<typeof LoggedExportQuery>
