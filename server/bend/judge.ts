import { DomainError } from './errors.ts'

/** Angle and tolerance of a job, degrees. */
interface Wanted {
  readonly wantedDeg: number
  readonly toleranceDeg: number
}

interface Judgement {
  readonly verdict: 'in' | 'under' | 'over'
  /** Released minus wanted, degrees, to a millionth. */
  readonly errorDeg: number
}

/**
 * Whether a released angle is within its tolerance, the limits included.
 *
 * Simple acceptance (JCGM 106, from memory): the reading is compared as it is, and its uncertainty
 * is neither added to nor taken off the tolerance. It is shown beside the verdict, and belongs to a
 * shop's choice of tolerance. Angles count to a millionth, as they are recorded, so that 30.8 for
 * 30 ± 0.8 is in and not lost to a binary digit.
 *
 * @throws DomainError `RELEASED_ANGLE`, `WANTED_ANGLE`, `TOLERANCE`
 */
export function judge(releasedDeg: number, { wantedDeg, toleranceDeg }: Wanted): Judgement {
  if (!Number.isFinite(releasedDeg)) throw new DomainError('RELEASED_ANGLE', { releasedDeg })
  if (!(wantedDeg > 0 && wantedDeg <= 360)) throw new DomainError('WANTED_ANGLE', { wantedDeg })
  if (!(toleranceDeg >= 0 && toleranceDeg < Infinity))
    throw new DomainError('TOLERANCE', { toleranceDeg })
  const millionths = Math.round((releasedDeg - wantedDeg) * 1e6)
  const limit = Math.round(toleranceDeg * 1e6)
  const errorDeg = millionths / 1e6
  if (Math.abs(millionths) <= limit) return { verdict: 'in', errorDeg }
  return { verdict: millionths < 0 ? 'under' : 'over', errorDeg }
}
