import { placesMarked } from './marked-places.ts'
import { CompensatedSum, summaryOf, type Values } from './summary.ts'

/** Individuals and moving-range chart of a run of values, in their unit. */
export interface IndividualsChart {
  readonly centre: number
  /** Mean moving range / d2. */
  readonly sigma: number
  readonly upper: number
  readonly lower: number
  readonly meanRange: number
  readonly upperRange: number
  /** Places of the values beyond a limit, from 0. A value on the limit is not beyond it. */
  readonly beyond: readonly number[]
  /** Places of the values whose step from the one before is beyond the upper limit of a range. */
  readonly beyondRange: readonly number[]
  /** What the limits were made with: another table gives another third decimal. */
  readonly constants: { readonly d2: number; readonly D4: number; readonly sigmas: number }
}

/**
 * d2 for ranges of two (exactly 2/√π), and D4, the upper limit of such a range over its mean; both as tables print them
 * (ISO 7870-2).
 */
const CONSTANTS = { d2: 1.128, D4: 3.267, sigmas: 3 } as const

/** Places before which something was changed or is missing. */
export interface GapBefore {
  has(place: number): boolean
}

const NO_GAP: GapBefore = { has: () => false }

/** |value − value before|; NaN where no range is made. */
function rangeAt(values: Values, gapBefore: GapBefore, place: number): number {
  if (place === 0 || gapBefore.has(place)) return Number.NaN
  return Math.abs((values[place] ?? 0) - (values[place - 1] ?? 0))
}

function meanRangeOf(values: Values, gapBefore: GapBefore): number {
  const sum = new CompensatedSum()
  let ranges = 0
  for (let place = 1; place < values.length; place += 1) {
    const range = rangeAt(values, gapBefore, place)
    if (Number.isNaN(range)) continue
    sum.add(range)
    ranges += 1
  }
  return sum.total / ranges
}

function placesOutside(values: Values, lower: number, upper: number): number[] {
  const marks = new Uint8Array(values.length)
  for (let place = 0; place < values.length; place += 1) {
    const value = values[place] ?? Number.NaN
    if (value > upper || value < lower) marks[place] = 1
  }
  return placesMarked(marks)
}

function rangesBeyond(values: Values, gapBefore: GapBefore, upper: number): number[] {
  const marks = new Uint8Array(values.length)
  for (let place = 1; place < values.length; place += 1)
    if (rangeAt(values, gapBefore, place) > upper) marks[place] = 1
  return placesMarked(marks)
}

/**
 * Limits at three sigma, sigma from the moving ranges of neighbours (ISO 7870-2).
 *
 * @param values In the order in which they were taken.
 * @param gapBefore Places of values before which something was changed or is missing: no range is made across.
 * @param mean Of the values, where it is known already.
 * @returns null where there is no range.
 * @throws RangeError for a value that is not finite.
 */
export function individualsChart(
  values: Values,
  gapBefore: GapBefore = NO_GAP,
  mean?: number,
): IndividualsChart | null {
  const meanRange = meanRangeOf(values, gapBefore)
  if (Number.isNaN(meanRange)) return null
  const centre = mean ?? summaryOf(values).mean
  const sigma = meanRange / CONSTANTS.d2
  const width = CONSTANTS.sigmas * sigma
  const [upper, lower] = [centre + width, centre - width]
  const upperRange = CONSTANTS.D4 * meanRange
  return {
    ...{ centre, sigma, upper, lower, meanRange, upperRange },
    beyond: placesOutside(values, lower, upper),
    beyondRange: rangesBeyond(values, gapBefore, upperRange),
    constants: CONSTANTS,
  }
}
