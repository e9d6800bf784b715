import { type LoggedExport, NewExport } from '../messages/exports.ts'
import type { HashedRow } from './hashed-log.ts'
import { makeLogEntry } from './log-entry.ts'

/** A row of the table `export_log`. */
export interface ExportRow extends HashedRow {
  readonly id: number
  readonly format: string
}

export const exportRecord = makeLogEntry<NewExport, Omit<LoggedExport, 'previousHash' | 'hash'>>(
  NewExport,
  'HISTORY_BAD_EXPORT',
)
