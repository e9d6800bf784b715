import type { Database } from 'better-sqlite3'
import type { LoggedExport, LoggedExportQuery, NewExport } from '../messages/exports.ts'
import { type ExportRow, exportRecord } from './export-record.ts'
import { makeHashedLog } from './hashed-log.ts'

interface Last {
  readonly id: number
  readonly hash: Buffer
}

/** The log of what left as a file: numbered, chained, never edited; each entry is one transaction. */
export function makeExportLog(db: Database) {
  const append = makeHashedLog(db, 'export_log', ['format'])
  const lastBend = db.prepare<[], Last>('SELECT id, hash FROM bend ORDER BY id DESC LIMIT 1')
  const newest = db.prepare<[number, number], ExportRow>(
    'SELECT * FROM export_log WHERE id < ? ORDER BY id DESC LIMIT ?',
  )

  const record = db.transaction((given: NewExport): LoggedExport => {
    const last = lastBend.get()
    const after = last ? { number: last.id, hash: last.hash.toString('hex') } : null
    const textOf = (id: number) => exportRecord.textOf({ id, ...given, after })
    return exportRecord.entryOf(append(textOf, { format: given.format }))
  })

  return {
    addExport(given: NewExport): LoggedExport {
      exportRecord.check(given)
      return record.immediate(given)
    },
    exportsLogged: ({ before = Number.MAX_SAFE_INTEGER, limit }: LoggedExportQuery) =>
      newest.all(before, limit).map(exportRecord.entryOf),
  }
}
