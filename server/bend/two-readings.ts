import { DomainError } from './errors.ts'

/** An angle and its standard uncertainty, degrees. */
export interface Reading {
  readonly deg: number
  readonly standardDeg: number
}

/** One released angle, measured by the readout and by hand with an angle finder. */
export interface TwoReadings {
  readonly automatic: Reading
  readonly checked: Reading
}

/** What the two say of the readout, over the last bends of a station. */
export interface ReadoutGap {
  /** Readout less checked, weighted mean, degrees. */
  readonly gapDeg: number
  readonly standardDeg: number
  readonly pairs: number
  /** Not to be explained by the two uncertainties: the readout is off. */
  readonly persistent: boolean
  /** For people; null while there is nothing to say. */
  readonly sentence: string | null
}

/** Fewer cannot be told from one careless reading. */
export const PAIRS_MIN = 3
/** 99 of 100 by chance stay within so many standard uncertainties; by size, a tenth counts. */
const CERTAIN = 2.576
const WORTH_DEG = 0.1
/** Older pairs are of another state of the readout. */
export const PAIRS_MAX = 20

function check({ deg, standardDeg }: Reading): void {
  if (!Number.isFinite(deg)) throw new DomainError('RELEASED_ANGLE', { releasedDeg: deg })
  if (!(standardDeg > 0 && standardDeg < Infinity))
    throw new DomainError('STANDARD_UNCERTAINTY', { standardDeg })
}

/**
 * Whether the readout departs from the checked angles, from the last 20 bends with both.
 *
 * The weighted mean of the differences; where they scatter more than their uncertainties allow, the
 * mean's own is enlarged by the Birge ratio, √(χ²/(n − 1)).
 *
 * Source: weighted mean and its consistency, R. T. Birge, Phys. Rev. 40 (1932) 207, from memory.
 *
 * @param pairs Oldest first. @throws DomainError `RELEASED_ANGLE`, `STANDARD_UNCERTAINTY`
 */
export function readoutGap(pairs: readonly TwoReadings[]): ReadoutGap {
  const last = pairs.slice(-PAIRS_MAX).map(({ automatic, checked }) => {
    check(automatic)
    check(checked)
    const variance = automatic.standardDeg ** 2 + checked.standardDeg ** 2
    return { offDeg: automatic.deg - checked.deg, weight: 1 / variance }
  })
  const weights = last.reduce((sum, { weight }) => sum + weight, 0)
  if (last.length === 0)
    return { gapDeg: 0, standardDeg: Infinity, pairs: 0, persistent: false, sentence: null }
  const gapDeg = last.reduce((sum, { offDeg, weight }) => sum + weight * offDeg, 0) / weights
  const square = last.reduce((sum, { offDeg, weight }) => sum + weight * (offDeg - gapDeg) ** 2, 0)
  const birge = last.length > 1 ? Math.max(1, square / (last.length - 1)) : 1
  const standardDeg = Math.sqrt(birge / weights)
  const sizeDeg = Math.abs(gapDeg)
  const persistent =
    last.length >= PAIRS_MIN && sizeDeg >= WORTH_DEG && sizeDeg > CERTAIN * standardDeg
  const sentence = persistent ? gapSentence(gapDeg, last.length) : null
  return { gapDeg, standardDeg, pairs: last.length, persistent, sentence }
}

const gapSentence = (gapDeg: number, pairs: number): string =>
  `The readout shows ${Math.abs(gapDeg).toFixed(1)}° ${gapDeg > 0 ? 'more' : 'less'} than the angle ` +
  `finder, over the last ${pairs} bends checked: the readout or the finder is off, and the ` +
  'tube springs no otherwise. Verify the readout with the reference piece, the finder against a known angle.'

/**
 * One released angle from the two, each weighted by its own uncertainty: 1/u².
 *
 * A persistent gap is taken off the checked angle first. Peak and released angle are both on the
 * readout's scale, and so the gap would come in as springback that the tube does not have.
 *
 * @returns On the readout's scale. @throws DomainError `RELEASED_ANGLE`, `STANDARD_UNCERTAINTY`
 */
export function releasedFromTwo(
  { automatic, checked }: TwoReadings,
  gap: Pick<ReadoutGap, 'gapDeg' | 'persistent'>,
): Reading {
  check(automatic)
  check(checked)
  const onReadoutDeg = checked.deg + (gap.persistent ? gap.gapDeg : 0)
  const [first, second] = [1 / automatic.standardDeg ** 2, 1 / checked.standardDeg ** 2]
  return {
    deg: (first * automatic.deg + second * onReadoutDeg) / (first + second),
    standardDeg: Math.sqrt(1 / (first + second)),
  }
}
