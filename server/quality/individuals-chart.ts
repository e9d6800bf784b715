import { inOneGo } from './in-one-go.ts'
import { type Marks, placesMarked } from './marked-places.ts'
import { eachStretch } from './stretches.ts'
import { CompensatedSum, summaryOf, type Values } from './summary.ts'

/** Of an individuals and moving-range chart of a run of values, in their unit. */
export interface IndividualsLimits {
  readonly centre: number
  /** Mean moving range / d2. */
  readonly sigma: number
  readonly upper: number
  readonly lower: number
  readonly meanRange: number
  readonly upperRange: number
  /** What the limits were made with: another table gives another third decimal. */
  readonly constants: { readonly d2: number; readonly D4: number; readonly sigmas: number }
}

export interface IndividualsChart extends IndividualsLimits {
  /** Places of the values beyond a limit, from 0. A value on the limit is not beyond it. */
  readonly beyond: readonly number[]
  /** Places of the values whose step from the one before is beyond the upper limit of a range. */
  readonly beyondRange: readonly number[]
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

function* meanRangeSteps(values: Values, gapBefore: GapBefore): Generator<void, number> {
  const sum = new CompensatedSum()
  let ranges = 0
  yield* eachStretch(values.length, (from, to) => {
    for (let place = from; place < to; place += 1) {
      const range = rangeAt(values, gapBefore, place)
      if (Number.isNaN(range)) continue
      sum.add(range)
      ranges += 1
    }
  })
  return sum.total / ranges
}

/** Marks with a bit, in steps, the values whose step from the one before is beyond a limit. */
export function* markRangeSteps(
  { values, gapBefore = NO_GAP }: { readonly values: Values; readonly gapBefore?: GapBefore },
  upperRange: number,
  marks: Marks,
  bit: number,
): Generator<void> {
  yield* eachStretch(values.length, (from, to) => {
    for (let place = from; place < to; place += 1)
      if (rangeAt(values, gapBefore, place) > upperRange) marks[place] = (marks[place] ?? 0) | bit
  })
}

/**
 * Limits at three sigma, sigma from the moving ranges of neighbours (ISO 7870-2), in steps.
 *
 * @param values In the order in which they were taken.
 * @param centre Their mean.
 * @param gapBefore Places of values before which something was changed or is missing: no range is made across.
 * @returns null where there is no range.
 */
export function* individualsLimitsSteps(
  values: Values,
  centre: number,
  gapBefore: GapBefore = NO_GAP,
): Generator<void, IndividualsLimits | null> {
  const meanRange = yield* meanRangeSteps(values, gapBefore)
  if (Number.isNaN(meanRange)) return null
  const sigma = meanRange / CONSTANTS.d2
  const width = CONSTANTS.sigmas * sigma
  const [upper, lower] = [centre + width, centre - width]
  const upperRange = CONSTANTS.D4 * meanRange
  return { centre, sigma, upper, lower, meanRange, upperRange, constants: CONSTANTS }
}

/** Places of the values beyond a limit, from 0. A value on the limit is not beyond it. */
export const placesBeyond = (
  values: Values,
  { lower, upper }: Pick<IndividualsLimits, 'lower' | 'upper'>,
): number[] =>
  Array.from(values).flatMap((value, place) => (value > upper || value < lower ? [place] : []))

/** Places of the values whose step from the one before is beyond the limit of a range. */
function rangesBeyond(values: Values, { upperRange }: IndividualsLimits): number[] {
  const marks = new Uint8Array(values.length)
  inOneGo(markRangeSteps({ values }, upperRange, marks, 1))
  return placesMarked(marks, 1)
}

/**
 * The chart of one process, in one go.
 *
 * @param values In the order in which they were taken.
 * @returns null where there is no range.
 * @throws RangeError for a value that is not finite.
 */
export function individualsChart(values: Values): IndividualsChart | null {
  if (values.length < 2) return null
  const limits = inOneGo(individualsLimitsSteps(values, summaryOf(values).mean))
  if (limits === null) return null
  return {
    ...limits,
    beyond: placesBeyond(values, limits),
    beyondRange: rangesBeyond(values, limits),
  }
}
