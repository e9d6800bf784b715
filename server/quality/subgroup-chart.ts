/** Limits of a chart of subgroups, in the unit of the values. */
export interface Limits {
  readonly centre: number
  readonly upper: number
  readonly lower: number
}

/** A2, D3 and D4 by the size of a subgroup, as tables print them (ISO 7870-2). */
const FACTORS: Readonly<Record<number, readonly [A2: number, D3: number, D4: number]>> = {
  2: [1.88, 0, 3.267],
  3: [1.023, 0, 2.574],
  4: [0.729, 0, 2.282],
  5: [0.577, 0, 2.114],
  6: [0.483, 0, 2.004],
  7: [0.419, 0.076, 1.924],
  8: [0.373, 0.136, 1.864],
  9: [0.337, 0.184, 1.816],
  10: [0.308, 0.223, 1.777],
}

const SIGMAS = 3

const meanOf = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + value, 0) / values.length

/** Expected standard deviation of n normal values over sigma: c4(2) = √(2/π), c4(n) · c4(n + 1) = √((n − 1)/n). */
export function c4(n: number): number {
  if (!(Number.isInteger(n) && n >= 2)) throw new RangeError(`a subgroup of ${n} has no spread`)
  return n === 2 ? Math.sqrt(2 / Math.PI) : Math.sqrt((n - 2) / (n - 1)) / c4(n - 1)
}

/**
 * Mean and range chart from subgroups of one size (ISO 7870-2).
 *
 * @param size 2 to 10.
 * @throws RangeError for another size, no subgroup, or not as many ranges as means.
 */
export function meanRangeChart(
  means: readonly number[],
  ranges: readonly number[],
  size: number,
): { readonly means: Limits; readonly ranges: Limits; readonly factors: readonly number[] } {
  const factors = FACTORS[size]
  if (!(factors && means.length > 0 && means.length === ranges.length))
    throw new RangeError(`${means.length} means, ${ranges.length} ranges of ${size}: no chart`)
  const [A2, D3, D4] = factors
  const [centre, meanRange] = [meanOf(means), meanOf(ranges)]
  const half = A2 * meanRange
  return {
    means: { centre, upper: centre + half, lower: centre - half },
    ranges: { centre: meanRange, upper: D4 * meanRange, lower: D3 * meanRange },
    factors,
  }
}

/**
 * Mean and standard-deviation chart where mean and sigma are given beforehand (ISO 7870-2): μ ± 3σ/√n, and
 * (c4 ± 3 √(1 − c4²)) σ, not below 0.
 */
export function givenChart(
  mean: number,
  sigma: number,
  size: number,
): { readonly means: Limits; readonly deviations: Limits } {
  const half = (SIGMAS * sigma) / Math.sqrt(size)
  const expected = c4(size)
  const spread = SIGMAS * Math.sqrt(1 - expected ** 2)
  return {
    means: { centre: mean, upper: mean + half, lower: mean - half },
    deviations: {
      centre: expected * sigma,
      upper: (expected + spread) * sigma,
      lower: Math.max(0, expected - spread) * sigma,
    },
  }
}
