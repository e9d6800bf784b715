import type { Database } from 'better-sqlite3'
import type { Bend } from '../messages/bends.ts'
import type { BendFilter } from '../messages/find.ts'
import { inBatches } from './batches.ts'
import { idsThatFit } from './find/ask.ts'
import type { Hands, RawRecord } from './history.ts'
import { unpackRaw } from './raw-text.ts'
import { bendOf, type RecordRow } from './record.ts'
import { VOIDED } from './voided.ts'

/** Rows read in one go by whoever walks the history: a few hundred kB. */
const BATCH_ROWS = 200

interface WalkedRow extends RecordRow {
  readonly id: number
}

/** Bends by their numbers, in constant memory beside the numbers. */
export function* byNumber(db: Database, ids: readonly number[]): Generator<Bend> {
  const batch = db.prepare<[string], RecordRow>(`
    SELECT bend.record, bend.previous_hash, bend.hash FROM json_each(?) AS wanted
    CROSS JOIN bend ON bend.id = wanted.value ORDER BY wanted.key`)
  for (let at = 0; at < ids.length; at += BATCH_ROWS)
    for (const row of batch.all(JSON.stringify(ids.slice(at, at + BATCH_ROWS)))) yield bendOf(row)
}

/** Every bend there is, oldest first. */
export function* everyBend(db: Database): Generator<Bend> {
  const batch = db.prepare<[number], WalkedRow>(`
    SELECT id, record, previous_hash, hash FROM bend WHERE id > ? ORDER BY id LIMIT ${BATCH_ROWS}`)
  for (const row of inBatches((lastId) => batch.all(lastId), BATCH_ROWS)) yield bendOf(row)
}

/** Every bend that fits, oldest first. @throws HistoryError `HISTORY_BAD_QUERY` at once, not when walked. */
export function bendsThatFit(db: Database, filter: BendFilter): Generator<Bend> {
  if (Object.keys(filter).length === 0) return everyBend(db)
  return byNumber(db, idsThatFit(db, filter))
}

/** Makes the function that gives the newest bends of these hands, at most so many, oldest first. */
export function makeByHands(db: Database) {
  const rows = db.prepare<[string, string, 0 | 1, number], RecordRow>(`
    SELECT record, previous_hash, hash FROM
      (SELECT id FROM bend INDEXED BY bend_by_operator
        WHERE operator = ? AND record ->> '$.setup.station' = ? AND record ->> '$.simulated' = ?
          AND id NOT IN (${VOIDED})
        ORDER BY id DESC LIMIT ?) AS found
    CROSS JOIN bend ON bend.id = found.id ORDER BY bend.id`)
  return ({ operator, station, simulated }: Hands, newest: number): Bend[] =>
    rows.all(operator, station, simulated ? 1 : 0, newest).map(bendOf)
}

/** Single look-ups by number, in a file of any schema. */
export function makeLookups(db: Database) {
  const bend = db.prepare<[number], RecordRow>(
    'SELECT record, previous_hash, hash FROM bend WHERE id = ?',
  )
  const raw = db.prepare<[number], Buffer>('SELECT packed FROM raw WHERE bend_id = ?').pluck()
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
    /** Numbers have no gaps, so that the last one is the count. */
    count: (): number => lastId.get() ?? 0,
  }
}
