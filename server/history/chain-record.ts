import { type ChainRevision, NewChainRevision } from '../messages/chain.ts'
import type { HashedRow } from './hashed-log.ts'
import { makeLogEntry } from './log-entry.ts'

/** A row of the table `chain_log`. */
export interface ChainRow extends HashedRow {
  readonly id: number
  readonly name: string
  readonly revision: number
}

export const chainRecord = makeLogEntry<
  NewChainRevision,
  Omit<ChainRevision, 'previousHash' | 'hash'>
>(NewChainRevision, 'HISTORY_BAD_CHAIN')
