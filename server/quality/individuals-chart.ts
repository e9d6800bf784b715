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
}

/** For ranges of two, as tables print it (ISO 7870-2; exactly 2/√π). */
const D2 = 1.128
/** Upper limit of a range of two over its mean, as tables print it. */
const D4 = 3.267
const LIMIT_SIGMAS = 3

const meanOf = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + value, 0) / values.length

/**
 * Limits at three sigma, sigma from the moving ranges of neighbours.
 *
 * @param values In the order in which they were taken, without a gap between them.
 * @returns null for fewer than two: there is no range.
 */
export function individualsChart(values: readonly number[]): IndividualsChart | null {
  if (values.length < 2) return null
  const ranges = values.slice(1).map((value, i) => Math.abs(value - (values[i] ?? value)))
  const centre = meanOf(values)
  const meanRange = meanOf(ranges)
  const sigma = meanRange / D2
  const [upper, lower] = [centre + LIMIT_SIGMAS * sigma, centre - LIMIT_SIGMAS * sigma]
  const isBeyond = (value: number) => value > upper || value < lower
  return {
    centre,
    sigma,
    upper,
    lower,
    meanRange,
    upperRange: D4 * meanRange,
    beyond: values.flatMap((value, i) => (isBeyond(value) ? [i] : [])),
  }
}
