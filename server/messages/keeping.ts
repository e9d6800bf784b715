import { type Static, Type } from 'typebox'
import { orNull, strict } from './schema.ts'

/** What a daemon that backs up by itself says of it. */
const Backups = strict({
  folder: Type.String({ description: 'Where they lie.' }),
  everyHours: Type.Number({ description: 'A backup is due when the last one is older.' }),
  lastGood: orNull(
    strict({
      at: Type.String({ description: 'When it was begun, ISO 8601 with offset.' }),
      file: Type.String(),
      bytes: Type.Integer({ minimum: 0 }),
    }),
  ),
  copies: Type.Integer({ minimum: 0, description: 'How many lie there: none is ever deleted.' }),
  bytes: Type.Integer({ minimum: 0, description: 'Room that they take, together.' }),
  trouble: orNull(Type.String({ description: 'Why the last try came to nothing.' })),
})

/** Room on the disk of the history. */
export const DiskRoom = strict({
  freeBytes: Type.Number({ minimum: 0 }),
  daysLeft: orNull(
    Type.Number({
      minimum: 0,
      description: 'At the pace of the last thirty days; null where nothing grows.',
    }),
  ),
})
export type DiskRoom = Static<typeof DiskRoom>

/** How the history is kept: copies of it, and room for it. Null: no backups asked for; not looked yet. */
export const Keeping = strict({ backups: orNull(Backups), room: orNull(DiskRoom) })
export type Keeping = Static<typeof Keeping>
