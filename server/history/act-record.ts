import { Compile } from 'typebox/compile'
import { type Act, NewAct } from '../messages/acts.ts'
import { fromCanonical, toCanonical } from './canonical.ts'
import { HistoryError } from './errors.ts'
import { exactMs } from './iso-time.ts'

/** A row of the table `act_log`. */
export interface ActRow {
  readonly id: number
  readonly kind: string
  readonly bend_id: number
  readonly record: string
  readonly previous_hash: Buffer
  readonly hash: Buffer
}

/** An act without its hashes: what is hashed. */
export type ActEvidence = Omit<Act, 'previousHash' | 'hash'>

const newAct = Compile(NewAct)

export function refuseAct(what: string): never {
  throw new HistoryError('HISTORY_BAD_ACT', { what })
}

/** @throws HistoryError `HISTORY_BAD_ACT` with the path at fault. */
export function checkAct(act: NewAct): void {
  if (!newAct.Check(act)) {
    const error = newAct.Errors(act)[0]
    refuseAct(`${error?.instancePath || 'it'} ${error?.message ?? 'has another shape'}`)
  }
  if (exactMs(act.at) === null) refuseAct('at is no time with offset')
}

/** @throws HistoryError `HISTORY_BAD_ACT` for what has no canonical text. */
export function actText(evidence: ActEvidence): string {
  try {
    return toCanonical(evidence)
  } catch (error) {
    return refuseAct(error instanceof Error ? error.message : String(error))
  }
}

export const actEvidenceIn = (record: string) => fromCanonical(record) as ActEvidence

export const actOf = (row: Pick<ActRow, 'record' | 'previous_hash' | 'hash'>): Act => ({
  ...actEvidenceIn(row.record),
  previousHash: row.previous_hash.toString('hex'),
  hash: row.hash.toString('hex'),
})
