import { Compile } from 'typebox/compile'
import { type ChainRevision, NewChainRevision } from '../messages/chain.ts'
import { fromCanonical, toCanonical } from './canonical.ts'
import { HistoryError } from './errors.ts'
import type { HashedRow } from './hashed-log.ts'
import { exactMs } from './iso-time.ts'

/** A row of the table `chain_log`. */
export interface ChainRow extends HashedRow {
  readonly id: number
  readonly name: string
  readonly revision: number
}

type ChainEvidence = Omit<ChainRevision, 'previousHash' | 'hash'>

const newRevision = Compile(NewChainRevision)

function refuse(what: string): never {
  throw new HistoryError('HISTORY_BAD_CHAIN', { what })
}

/** @throws HistoryError `HISTORY_BAD_CHAIN` with the path at fault. */
export function checkRevision(given: NewChainRevision): void {
  if (!newRevision.Check(given)) {
    const error = newRevision.Errors(given)[0]
    refuse(`${error?.instancePath || 'it'} ${error?.message ?? 'has another shape'}`)
  }
  if (exactMs(given.at) === null) refuse('at is no time with offset')
}

/** @throws HistoryError `HISTORY_BAD_CHAIN` for what has no canonical text. */
export function revisionText(evidence: ChainEvidence): string {
  try {
    return toCanonical(evidence)
  } catch (error) {
    return refuse(error instanceof Error ? error.message : String(error))
  }
}

export const revisionEvidenceIn = (record: string) => fromCanonical(record) as ChainEvidence

export const revisionOf = (row: HashedRow): ChainRevision => ({
  ...revisionEvidenceIn(row.record),
  previousHash: row.previous_hash.toString('hex'),
  hash: row.hash.toString('hex'),
})
