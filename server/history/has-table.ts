import type { Database } from 'better-sqlite3'

/** Histories of an older schema lack some. */
export const hasTable = (db: Database, table: string): boolean =>
  db.prepare('SELECT 1 FROM sqlite_schema WHERE name = ?').get(table) !== undefined
