import { type Proof, provedBy } from '../quality/proof.ts'
import { isByReadout } from './error-shares.ts'

interface RecordedBend {
  readonly wantedDeg: number
  readonly toleranceDeg: number
  readonly releasedDeg: number | null
  readonly releasedFrom?: string | undefined
  readonly readout?: {
    readonly releasedExpandedDeg: number | null
    readonly calibration: object | null
    readonly standing: 'good' | 'overdue' | 'failed' | 'none'
  } | null
}

type Released = Pick<RecordedBend, 'releasedDeg' | 'releasedFrom'> & {
  readonly readout?:
    | { readonly releasedExpandedDeg: number | null; readonly calibration: object | null }
    | null
    | undefined
}

/**
 * Expanded uncertainty of the released angle of a record, degrees; null where it is not known: the budget of the readout
 * says nothing of an angle that was read off an angle finder, whatever older records hold.
 */
export const releasedExpandedDegOf = ({ releasedDeg, releasedFrom, readout }: Released) =>
  isByReadout(releasedDeg, releasedFrom) ? (readout?.releasedExpandedDeg ?? null) : null

/**
 * The same where it stands beside the angle without a word: null too of a readout that nobody calibrated, since its
 * budget lacks the scale and the eccentricity of the sensor, which may be the most of it.
 */
export const calibratedExpandedDegOf = (bend: Released) =>
  (bend.readout?.calibration ?? null) === null ? null : releasedExpandedDegOf(bend)

/** Why a released angle proves nothing, whatever its uncertainty would be. */
export type NoProof = 'not-seen' | 'by-hand' | 'not-known' | 'not-calibrated' | 'in-doubt'

/** A budget knows what was put into it: of a readout that nobody calibrated, or that is in doubt, that is not all. */
export function noProofOf({ releasedDeg, releasedFrom, readout }: RecordedBend): NoProof | null {
  if (releasedDeg === null) return 'not-seen'
  if (!isByReadout(releasedDeg, releasedFrom)) return 'by-hand'
  if ((readout?.releasedExpandedDeg ?? null) === null) return 'not-known'
  if ((readout?.calibration ?? null) === null) return 'not-calibrated'
  const standing = readout?.standing
  return standing === 'overdue' || standing === 'failed' ? 'in-doubt' : null
}

/**
 * What the released angle of a recorded bend proves of its tolerance. A view of the record, never the verdict, which is
 * simple acceptance as it was recorded.
 *
 * @returns null where it proves nothing: see `noProofOf`.
 */
export function bendProof(bend: RecordedBend): Proof | null {
  const { wantedDeg, toleranceDeg, releasedDeg, readout } = bend
  if (noProofOf(bend) !== null) return null
  return provedBy({
    error: (releasedDeg ?? Number.NaN) - wantedDeg,
    tolerance: toleranceDeg,
    expanded: readout?.releasedExpandedDeg ?? Number.NaN,
  })
}
