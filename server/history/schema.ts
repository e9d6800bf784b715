import type { Database } from 'better-sqlite3'
import { HistoryError } from './errors.ts'
import { migrations } from './migrations/index.ts'
import type { Migration } from './migrations/migration.ts'

/** "OVBD" in ASCII: tells our files from any other SQLite file. */
export const APPLICATION_ID = 0x4f564244

const pragma = (db: Database, name: string) => Number(db.pragma(name, { simple: true }))

const newest = (steps: readonly Migration[]) => steps.at(-1)?.version ?? 0

/** @throws HistoryError `HISTORY_FOREIGN` or `HISTORY_NEWER`. */
export function checkIdentity(db: Database, file: string, steps = migrations): void {
  if (pragma(db, 'application_id') !== APPLICATION_ID)
    throw new HistoryError('HISTORY_FOREIGN', { at: file })
  const version = pragma(db, 'user_version')
  if (version > newest(steps))
    throw new HistoryError('HISTORY_NEWER', { at: file, what: String(version) })
}

/** Brings a file to the newest schema, each step whole or not at all. */
export function migrate(db: Database, steps: readonly Migration[] = migrations): void {
  const step = db.transaction(({ version, sql }: Migration) => {
    db.exec(sql)
    db.pragma(`application_id = ${APPLICATION_ID}`)
    db.pragma(`user_version = ${version}`)
  })
  const version = pragma(db, 'user_version')
  for (const each of steps) if (each.version > version) step.immediate(each)
}
