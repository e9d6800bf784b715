import { ACT_KINDS, type Act, type NewAct } from '../messages/acts.ts'
import type { HashedRow } from './hashed-log.ts'
import { makeLogEntry } from './log-entry.ts'

/** A row of the table `act_log`. */
export interface ActRow extends HashedRow {
  readonly id: number
  readonly kind: string
  readonly bend_id: number
}

/** Taken off each kind by itself, so that the union stays one. */
type Numbered<T> = T extends unknown ? Omit<T, 'previousHash' | 'hash'> : never

export const actRecord = makeLogEntry<NewAct, Numbered<Act>>(
  (act) => ACT_KINDS.find(({ kind }) => kind === act.kind)?.given,
  'HISTORY_BAD_ACT',
)
