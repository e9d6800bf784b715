import { type Act, NewAct } from '../messages/acts.ts'
import type { HashedRow } from './hashed-log.ts'
import { makeLogEntry } from './log-entry.ts'

/** A row of the table `act_log`. */
export interface ActRow extends HashedRow {
  readonly id: number
  readonly kind: string
  readonly bend_id: number
}

export const actRecord = makeLogEntry<NewAct, Omit<Act, 'previousHash' | 'hash'>>(
  NewAct,
  'HISTORY_BAD_ACT',
)
