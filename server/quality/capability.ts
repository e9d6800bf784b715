import chiSquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile'
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile'

/** Limits of what was specified, in the unit of the values; either may be missing. */
export interface Specification {
  readonly lower: number | null
  readonly upper: number | null
}

/** An estimate of the standard deviation, and how well it is known. */
export interface Sigma {
  readonly value: number
  readonly degreesOfFreedom: number
}

/** An index with its two-sided confidence limits. */
export interface CapabilityIndex {
  readonly value: number
  readonly low: number
  readonly high: number
}

export interface Capability {
  /** (upper − lower) / 6σ; null with one limit only, or no spread. */
  readonly width: CapabilityIndex | null
  /** Distance of the mean from the nearer limit / 3σ; null without a limit, or no spread. */
  readonly nearest: CapabilityIndex | null
}

/**
 * How well a mean moving range / d2 of n values tells sigma, as degrees of freedom that give the same relative
 * variance (ν = 1/2V). V follows from the variance of |x − y| and the covariance of neighbouring ranges, for normal
 * values: V = ((n − 1)(π/2 − 1) + (n − 2)(π/6 + √3 − 2)) / (n − 1)². It comes to about 0.6 n.
 *
 * @param n 2 or more.
 */
export function rangeDegreesOfFreedom(n: number): number {
  if (!(n >= 2)) throw new RangeError(`${n} values have no moving range`)
  const own = (n - 1) * (Math.PI / 2 - 1)
  const shared = (n - 2) * (Math.PI / 6 + Math.sqrt(3) - 2)
  return (n - 1) ** 2 / (2 * (own + shared))
}

/** Limits of (upper − lower) / 6σ by the chi-square of σ: exact for a standard deviation of normal values. */
export function widthLimits(value: number, degreesOfFreedom: number, confidence: number) {
  const tail = (1 - confidence) / 2
  const at = (p: number) =>
    value * Math.sqrt(chiSquareQuantile(p, degreesOfFreedom) / degreesOfFreedom)
  return { low: at(tail), high: at(1 - tail) }
}

/** Value ± z √(1/9n + value²/2ν): Bissell, Applied Statistics 39(3), 1990, 331–340 (quoted from memory). */
export function nearestLimits(
  value: number,
  n: number,
  degreesOfFreedom: number,
  confidence: number,
) {
  const z = normalQuantile((1 + confidence) / 2, 0, 1)
  const half = z * Math.sqrt(1 / (9 * n) + value ** 2 / (2 * degreesOfFreedom))
  return { low: value - half, high: value + half }
}

/**
 * Indices of a normal process (ISO 22514-2; definitions from memory). With σ from moving ranges they are Cp and Cpk,
 * with the standard deviation of all values Pp and Ppk.
 *
 * @param confidence Over 0, below 1.
 * @throws RangeError for a lower limit not below the upper one, or a sigma below 0 or not finite.
 */
export function capabilityOf(
  { n, mean }: { readonly n: number; readonly mean: number },
  sigma: Sigma,
  { lower, upper }: Specification,
  confidence: number,
): Capability {
  if (!(lower === null || upper === null || lower < upper))
    throw new RangeError(`the lower limit ${lower} is not below the upper limit ${upper}`)
  if (!(sigma.value >= 0 && sigma.value < Infinity)) throw new RangeError(`sigma is ${sigma.value}`)
  if (sigma.value === 0) return { width: null, nearest: null }
  const distances = [
    ...(upper === null ? [] : [upper - mean]),
    ...(lower === null ? [] : [mean - lower]),
  ]
  const width = lower === null || upper === null ? null : (upper - lower) / (6 * sigma.value)
  const nearest = distances.length === 0 ? null : Math.min(...distances) / (3 * sigma.value)
  const { degreesOfFreedom } = sigma
  return {
    width:
      width === null ? null : { value: width, ...widthLimits(width, degreesOfFreedom, confidence) },
    nearest:
      nearest === null
        ? null
        : { value: nearest, ...nearestLimits(nearest, n, degreesOfFreedom, confidence) },
  }
}
