import { Compile } from 'typebox/compile'
import { NewReadoutEntry, type ReadoutEntry } from '../messages/readout.ts'
import { fromCanonical, toCanonical } from './canonical.ts'
import { HistoryError } from './errors.ts'
import { exactMs } from './iso-time.ts'

/** A row of the table `readout_log`. */
export interface ReadoutRow {
  readonly id: number
  readonly kind: string
  readonly station: string
  readonly record: string
  readonly previous_hash: Buffer
  readonly hash: Buffer
}

/** An entry without its hashes: what is hashed. */
type ReadoutEvidence = NewReadoutEntry & { readonly id: number }

const newEntry = Compile(NewReadoutEntry)

function refuse(what: string): never {
  throw new HistoryError('HISTORY_BAD_ENTRY', { what })
}

/** @throws HistoryError `HISTORY_BAD_ENTRY` with the path at fault. */
export function readoutText(id: number, entry: NewReadoutEntry): string {
  if (!newEntry.Check(entry)) {
    const error = newEntry.Errors(entry)[0]
    refuse(`${error?.instancePath || 'it'} ${error?.message ?? 'has another shape'}`)
  }
  if (exactMs(entry.at) === null) refuse('at is no time with offset')
  try {
    return toCanonical({ id, ...entry })
  } catch (error) {
    return refuse(error instanceof Error ? error.message : String(error))
  }
}

export const readoutEvidenceIn = (record: string) => fromCanonical(record) as ReadoutEvidence

export function readoutEntryOf(row: Pick<ReadoutRow, 'record' | 'previous_hash' | 'hash'>) {
  return {
    ...readoutEvidenceIn(row.record),
    previousHash: row.previous_hash.toString('hex'),
    hash: row.hash.toString('hex'),
  } satisfies ReadoutEntry
}
