/** Count, mean and spread of a run of values, in their unit. */
export interface Summary {
  readonly n: number
  readonly mean: number
  /** √(Σ (value − mean)² / (n − 1)); null for one value. */
  readonly sd: number | null
}

/** A power of two near the largest value: dividing by it loses no digit, and squares then stay within a double. */
const EXPONENT_MAX = 1000

function scaleOf(values: readonly number[]): number {
  const largest = values.reduce((most, value) => Math.max(most, Math.abs(value)), 0)
  if (largest === 0) return 1
  const exponent = Math.floor(Math.log2(largest))
  return 2 ** Math.min(EXPONENT_MAX, Math.max(-EXPONENT_MAX, exponent))
}

/** Σ with what each addition rounded off carried along (Neumaier, ZAMM 54, 1974; quoted from memory). */
export function compensatedSum(values: readonly number[]): number {
  let [sum, lost] = [0, 0]
  for (const value of values) {
    const next = sum + value
    lost += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum
    sum = next
  }
  return sum + lost
}

/**
 * Each value less their mean, divided by a power of two. Values are first taken from the first of them, so that a large
 * common part costs no digit and values that are all the same deviate by exactly 0.
 *
 * @throws RangeError for no value, or one that is not finite.
 */
export function deviationsOf(values: readonly number[]) {
  const [first] = values
  if (!(first !== undefined && values.every(Number.isFinite)))
    throw new RangeError('a summary takes one finite value or more')
  const scale = scaleOf(values)
  const shifted = values.map((value) => value / scale - first / scale)
  const meanShift = compensatedSum(shifted) / values.length
  return {
    scale,
    mean: (first / scale + meanShift) * scale,
    deviations: shifted.map((value) => value - meanShift),
  }
}

/** Σ of squares of what is left after the mean, less what rounding of the mean put into it. */
export function squaresOf(deviations: readonly number[]): number {
  const squares = compensatedSum(deviations.map((deviation) => deviation * deviation))
  return Math.max(0, squares - compensatedSum(deviations) ** 2 / deviations.length)
}

/**
 * Mean and standard deviation by two passes with compensated sums (Chan, Golub, LeVeque, The American Statistician 37,
 * 1983; quoted from memory).
 *
 * @throws RangeError for no value, or one that is not finite.
 */
export function summaryOf(values: readonly number[]): Summary {
  const { scale, mean, deviations } = deviationsOf(values)
  const n = values.length
  return { n, mean, sd: n < 2 ? null : Math.sqrt(squaresOf(deviations) / (n - 1)) * scale }
}
