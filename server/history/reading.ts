import type { Database } from 'better-sqlite3'
import type { Bend } from '../messages/bends.ts'
import { inBatches } from './batches.ts'
import { type BendFilter, checkQuery, whereOf } from './filter.ts'
import type { Hands, RawRecord } from './history.ts'
import { unpackRaw } from './raw-text.ts'
import { bendOf, type RecordRow } from './record.ts'
import { VOIDED } from './voided.ts'

/** Rows read in one go by whoever walks the history: a few hundred kB. */
const BATCH_ROWS = 200

interface WalkedRow extends RecordRow {
  readonly id: number
}

/** Every bend under a condition, oldest first. */
function* walk(db: Database, from: string, values: readonly (string | number)[]): Generator<Bend> {
  const batch = db.prepare<unknown[], WalkedRow>(`
    SELECT bend.id, bend.record, bend.previous_hash, bend.hash FROM
      (SELECT id FROM bend ${from} AND id > ? ORDER BY id LIMIT ${BATCH_ROWS}) AS found
    CROSS JOIN bend ON bend.id = found.id ORDER BY bend.id`)
  for (const row of inBatches((lastId) => batch.all(...values, lastId), BATCH_ROWS))
    yield bendOf(row)
}

/** Every bend that fits, oldest first. @throws HistoryError `HISTORY_BAD_QUERY` at once, not when walked. */
export function bendsThatFit(db: Database, filter: BendFilter): Generator<Bend> {
  checkQuery({ ...filter, limit: 1 })
  const { where, values, index } = whereOf(filter)
  return walk(db, `INDEXED BY ${index} WHERE ${where}`, values)
}

/** Single look-ups by number. */
export function makeLookups(db: Database) {
  const bend = db.prepare<[number], RecordRow>(
    'SELECT record, previous_hash, hash FROM bend WHERE id = ?',
  )
  const raw = db.prepare<[number], Buffer>('SELECT packed FROM raw WHERE bend_id = ?').pluck()
  const byHands = db.prepare<[string, string, 0 | 1, number], RecordRow>(`
    SELECT record, previous_hash, hash FROM
      (SELECT id FROM bend INDEXED BY bend_by_operator
        WHERE operator = ? AND record ->> '$.setup.station' = ? AND record ->> '$.simulated' = ?
          AND id NOT IN (${VOIDED})
        ORDER BY id DESC LIMIT ?) AS found
    CROSS JOIN bend ON bend.id = found.id ORDER BY bend.id`)
  const lastId = db.prepare<[], number>('SELECT coalesce(max(id), 0) FROM bend').pluck()
  return {
    bend(id: number): Bend | null {
      const row = bend.get(id)
      return row === undefined ? null : bendOf(row)
    },
    raw(id: number): RawRecord | null {
      const packed = raw.get(id)
      return packed === undefined ? null : unpackRaw(packed)
    },
    /** The newest of these hands, at most so many, oldest first. */
    byHands: ({ operator, station, simulated }: Hands, newest: number): Bend[] =>
      byHands.all(operator, station, simulated ? 1 : 0, newest).map(bendOf),
    /** Numbers have no gaps, so that the last one is the count. */
    count: (): number => lastId.get() ?? 0,
  }
}
