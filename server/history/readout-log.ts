import type { Database } from 'better-sqlite3'
import type { EntryKind, NewReadoutEntry, ReadoutEntry } from '../messages/readout.ts'
import { FIRST_HASH, nextHash } from './chain-hash.ts'
import type { ReadoutQuery } from './history.ts'
import { type ReadoutRow, readoutEntryOf, readoutText } from './readout-record.ts'

/** The log of acts about the readout: numbered, chained, never edited; each act is one transaction. */
export function makeReadoutLog(db: Database) {
  const last = db.prepare<[], Pick<ReadoutRow, 'id' | 'hash'>>(
    'SELECT id, hash FROM readout_log ORDER BY id DESC LIMIT 1',
  )
  const insert = db.prepare(`
    INSERT INTO readout_log (id, kind, station, record, previous_hash, hash)
    VALUES (@id, @kind, @station, @record, @previous_hash, @hash)`)
  const one = db.prepare<[number], ReadoutRow>('SELECT * FROM readout_log WHERE id = ?')
  const newest = db.prepare<[string, string, number, number], ReadoutRow>(`
    SELECT * FROM readout_log WHERE station = ? AND kind = ? AND id < ?
    ORDER BY id DESC LIMIT ?`)

  const record = db.transaction((entry: NewReadoutEntry): ReadoutEntry => {
    const { id: lastId, hash: previous_hash } = last.get() ?? { id: 0, hash: FIRST_HASH }
    const id = lastId + 1
    const text = readoutText(id, entry)
    const row = { record: text, previous_hash, hash: nextHash(previous_hash, text) }
    insert.run({ id, kind: entry.kind, station: entry.station, ...row })
    return readoutEntryOf(row)
  })

  return {
    addReadoutEntry: (entry: NewReadoutEntry): ReadoutEntry => record.immediate(entry),
    readoutEntry(id: number): ReadoutEntry | null {
      const row = one.get(id)
      return row === undefined ? null : readoutEntryOf(row)
    },
    readoutEntries<K extends EntryKind>(query: ReadoutQuery<K>) {
      const { station, kind, before = Number.MAX_SAFE_INTEGER, limit } = query
      const rows = newest.all(station, kind, before, limit)
      return rows.map(readoutEntryOf) as Extract<ReadoutEntry, { kind: K }>[]
    },
  }
}
