import { NewReadoutEntry, type ReadoutEntry } from '../messages/readout.ts'
import type { HashedRow } from './hashed-log.ts'
import { makeLogEntry } from './log-entry.ts'

/** A row of the table `readout_log`. */
export interface ReadoutRow extends HashedRow {
  readonly id: number
  readonly kind: string
  readonly station: string
}

/** Taken off each kind by itself, so that the union stays one. */
type Numbered<T> = T extends unknown ? Omit<T, 'previousHash' | 'hash'> : never

export const readoutRecord = makeLogEntry<NewReadoutEntry, Numbered<ReadoutEntry>>(
  NewReadoutEntry,
  'HISTORY_BAD_ENTRY',
)
