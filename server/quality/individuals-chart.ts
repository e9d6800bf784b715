import { compensatedSum, summaryOf } from './summary.ts'

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

/**
 * Limits at three sigma, sigma from the moving ranges of neighbours (ISO 7870-2).
 *
 * @param values In the order in which they were taken.
 * @param gapBefore Places of values before which something was changed or is missing: no range is made across.
 * @returns null where there is no range.
 * @throws RangeError for a value that is not finite.
 */
export function individualsChart(
  values: readonly number[],
  gapBefore: ReadonlySet<number> = new Set(),
): IndividualsChart | null {
  const steps = values.map((value, i) =>
    i === 0 || gapBefore.has(i) ? null : Math.abs(value - (values[i - 1] ?? value)),
  )
  const ranges = steps.filter((step) => step !== null)
  if (ranges.length === 0) return null
  const centre = summaryOf(values).mean
  const meanRange = compensatedSum(ranges) / ranges.length
  const sigma = meanRange / CONSTANTS.d2
  const width = CONSTANTS.sigmas * sigma
  const [upper, lower] = [centre + width, centre - width]
  const upperRange = CONSTANTS.D4 * meanRange
  const placesOf = (isOut: (place: number) => boolean) =>
    values.flatMap((_, i) => (isOut(i) ? [i] : []))
  return {
    centre,
    sigma,
    upper,
    lower,
    meanRange,
    upperRange,
    beyond: placesOf((i) => (values[i] ?? centre) > upper || (values[i] ?? centre) < lower),
    beyondRange: placesOf((i) => (steps[i] ?? 0) > upperRange),
    constants: CONSTANTS,
  }
}
