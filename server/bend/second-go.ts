import { DomainError } from './errors.ts'

/** A go that was let off and still stands in the clamp. Degrees from the datum. */
export interface FinishedGo {
  readonly peakDeg: number
  readonly releasedDeg: number
}

/**
 * Less than this is not worth a second go: an operator on a lever or a ram stops no closer than
 * about 0.1° (common practice, no source).
 */
const LEAST_GAIN_DEG = 0.1

/**
 * Where to take the same tube again; null when it is over, or there is nothing to gain.
 *
 * This very piece has shown its springback, so lot, wall and straight legs are known: only the
 * share b of the small step more comes back. Loading again follows the elastic line up to the old
 * moment.
 *
 * @param slope b, from `coefficientsOf`, 0 ≤ b < 1.
 * @returns Degrees, more than the peak before. May exceed what the bender can do; the caller knows.
 * @throws DomainError `LOADED_ANGLE`, `RELEASED_ANGLE`, `WANTED_ANGLE`, `SLOPE`
 */
export function secondGoDeg(
  { peakDeg, releasedDeg }: FinishedGo,
  wantedDeg: number,
  slope: number,
): number | null {
  if (!(peakDeg > 0 && peakDeg <= 360))
    throw new DomainError('LOADED_ANGLE', { loadedDeg: peakDeg })
  if (!Number.isFinite(releasedDeg)) throw new DomainError('RELEASED_ANGLE', { releasedDeg })
  if (!(wantedDeg > 0 && wantedDeg <= 360)) throw new DomainError('WANTED_ANGLE', { wantedDeg })
  if (!(slope >= 0 && slope < 1)) throw new DomainError('SLOPE', { slope })
  const shortDeg = wantedDeg - releasedDeg
  if (shortDeg < LEAST_GAIN_DEG) return null
  return peakDeg + shortDeg / (1 - slope)
}
