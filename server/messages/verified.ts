import { type Static, Type } from 'typebox'
import { orNull, strict } from './schema.ts'

const LogOf = (description: string) =>
  Type.Object(
    {
      entries: Type.Integer({ minimum: 0, description: 'Entries of the log.' }),
      firstBroken: orNull(Type.Integer({ description: 'First entry altered, removed or moved.' })),
      head: Type.String({ description: 'Hash of its last entry.' }),
    },
    { description, additionalProperties: false },
  )

/** The answer to whether the history is whole: the bends and each log beside them, as far as their chains held. */
export const HistoryVerified = strict({
  records: Type.Integer({ minimum: 0 }),
  intact: Type.Boolean(),
  firstBroken: orNull(Type.Integer({ description: 'First record altered, removed or reordered.' })),
  why: orNull(Type.String({ description: 'What is wrong with it.' })),
  head: Type.String({ description: 'Hash of the last record; keep it elsewhere.' }),
  readout: LogOf('Of acts about the readout.'),
  acts: LogOf('Of what people did about bends.'),
  chains: LogOf('Of revisions of the chain.'),
  people: LogOf('Of people enrolled.'),
  exports: LogOf('Of what left as a file.'),
})
export type HistoryVerified = Static<typeof HistoryVerified>
