import type { Database } from 'better-sqlite3'
import type { EntryKind, NewReadoutEntry, ReadoutEntry } from '../messages/readout.ts'
import { makeHashedLog } from './hashed-log.ts'
import type { ReadoutQuery } from './history.ts'
import { type ReadoutRow, readoutRecord } from './readout-record.ts'

/** The log of acts about the readout: numbered, chained, never edited; each act is one transaction. */
export function makeReadoutLog(db: Database) {
  const append = makeHashedLog(db, 'readout_log', ['kind', 'station'])
  const one = db.prepare<[number], ReadoutRow>('SELECT * FROM readout_log WHERE id = ?')
  const newest = db.prepare<[string, string, number, number], ReadoutRow>(`
    SELECT * FROM readout_log WHERE station = ? AND kind = ? AND id < ?
    ORDER BY id DESC LIMIT ?`)

  const record = db.transaction((entry: NewReadoutEntry): ReadoutEntry => {
    const { kind, station } = entry
    return readoutRecord.entryOf(
      append((id) => readoutRecord.textOf({ id, ...entry }), { kind, station }),
    )
  })

  return {
    addReadoutEntry(entry: NewReadoutEntry): ReadoutEntry {
      readoutRecord.check(entry)
      return record.immediate(entry)
    },
    readoutEntry(id: number): ReadoutEntry | null {
      const row = one.get(id)
      return row === undefined ? null : readoutRecord.entryOf(row)
    },
    readoutEntries<K extends EntryKind>(query: ReadoutQuery<K>) {
      const { station, kind, before = Number.MAX_SAFE_INTEGER, limit } = query
      const rows = newest.all(station, kind, before, limit)
      return rows.map(readoutRecord.entryOf) as Extract<ReadoutEntry, { kind: K }>[]
    },
  }
}
