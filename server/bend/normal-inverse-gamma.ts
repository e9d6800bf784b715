import { DomainError } from './errors.ts'

/**
 * The two regressors of one observation: what the first and the second coefficient are multiplied
 * by.
 */
export type Row = readonly [number, number]

/**
 * What is believed of y = β₁·x₁ + β₂·x₂ + noise of unknown spread: normal–inverse-gamma.
 *
 * Held as a square root of the precision: R (upper triangle) with RᵀR = Λ, and z = R·mean. Each
 * observation is turned into it by two plane rotations. Nothing is squared or subtracted, so it
 * keeps twice the digits of the normal equations, and a flat prior is simply R = 0. Sequential and
 * batch are the same thing, and the same rows in the same order give the same digits.
 *
 * Sources: Bishop, Pattern Recognition and Machine Learning (2006), 3.3 and exercise 3.12 (update);
 * Golub & Van Loan, Matrix Computations, row-wise QR by Givens rotations. Both from memory.
 */
export interface NormalInverseGamma {
  readonly r11: number
  readonly r12: number
  readonly r22: number
  readonly z1: number
  readonly z2: number
  /** Of the noise variance's inverse gamma; twice it is the degrees of freedom. */
  readonly shape: number
  readonly rate: number
}

/** Mean and spread of what is seen next, Student-t. */
export interface Predictive {
  readonly mean: number
  /** Scale of the next observation: the line's own and the noise of one more. */
  readonly scale: number
  /**
   * Scale of the line alone; at row (1, 0) and (0, 1) it is the standard error of a coefficient.
   */
  readonly lineScale: number
  readonly degreesOfFreedom: number
}

/**
 * A belief before any observation, the coefficients independent of each other.
 *
 * Flat, so that classical least squares comes out: precision [0, 0], shape −1, rate 0.
 *
 * @throws DomainError `BELIEF_PRIOR`
 */
export function beliefFrom(prior: {
  readonly mean: Row
  readonly precision: Row
  readonly shape: number
  readonly rate: number
}): NormalInverseGamma {
  const { mean, precision, shape, rate } = prior
  const finite = [...mean, ...precision, shape, rate].every(Number.isFinite)
  if (!(finite && precision[0] >= 0 && precision[1] >= 0 && shape >= -1 && rate >= 0))
    throw new DomainError('BELIEF_PRIOR', { shape, rate })
  const r11 = Math.sqrt(precision[0])
  const r22 = Math.sqrt(precision[1])
  return { r11, r12: 0, r22, z1: r11 * mean[0], z2: r22 * mean[1], shape, rate }
}

/** The rotation that turns (a, b) into (h, 0). Not Math.hypot: its digits may differ by engine. */
function rotation(a: number, b: number): { c: number; s: number; h: number } {
  const h = Math.sqrt(a * a + b * b)
  return h === 0 ? { c: 1, s: 0, h } : { c: a / h, s: b / h, h }
}

/**
 * The belief after one more observation.
 *
 * @throws DomainError `BELIEF_OBSERVATION` if a number is not finite.
 */
export function observe(belief: NormalInverseGamma, row: Row, y: number): NormalInverseGamma {
  if (!(Number.isFinite(row[0]) && Number.isFinite(row[1]) && Number.isFinite(y)))
    throw new DomainError('BELIEF_OBSERVATION', { y })
  const first = rotation(belief.r11, row[0])
  const x2 = first.c * row[1] - first.s * belief.r12
  const y2 = first.c * y - first.s * belief.z1
  const second = rotation(belief.r22, x2)
  const unexplained = second.c * y2 - second.s * belief.z2
  return {
    r11: first.h,
    r12: first.c * belief.r12 + first.s * row[1],
    r22: second.h,
    z1: first.c * belief.z1 + first.s * y,
    z2: second.c * belief.z2 + second.s * y2,
    shape: belief.shape + 0.5,
    rate: belief.rate + (unexplained * unexplained) / 2,
  }
}

function checkDetermined(belief: NormalInverseGamma): void {
  const { r11, r22, shape } = belief
  if (!(r11 > 0 && r22 > 0)) throw new DomainError('BELIEF_UNDETERMINED', { shape })
}

/** Most likely coefficients. @throws DomainError `BELIEF_UNDETERMINED` */
export function meanOf(belief: NormalInverseGamma): Row {
  checkDetermined(belief)
  const second = belief.z2 / belief.r22
  return [(belief.z1 - belief.r12 * second) / belief.r11, second]
}

/** What the coefficients can be. */
export interface CoefficientLimits {
  readonly firstMin: number
  readonly secondMin: number
  readonly secondMax: number
}

/**
 * Most likely coefficients among those that can be: the mean, or the likeliest point of the edge.
 *
 * @throws DomainError `BELIEF_UNDETERMINED`
 */
export function meanWithin(belief: NormalInverseGamma, limits: CoefficientLimits): Row {
  const { firstMin, secondMin, secondMax } = limits
  const free = meanOf(belief)
  if (free[0] >= firstMin && free[1] >= secondMin && free[1] <= secondMax) return free
  const { r11, r12, r22, z1, z2 } = belief
  const withFirst = (first: number): Row => {
    const second = (r12 * (z1 - r11 * first) + r22 * z2) / (r12 * r12 + r22 * r22)
    return [first, Math.min(secondMax, Math.max(secondMin, second))]
  }
  const withSecond = (second: number): Row => [
    Math.max(firstMin, (z1 - r12 * second) / r11),
    second,
  ]
  const misfit = ([first, second]: Row) =>
    (r11 * first + r12 * second - z1) ** 2 + (r22 * second - z2) ** 2
  return [withSecond(secondMin), withSecond(secondMax)].reduce(
    (best, edge) => (misfit(edge) < misfit(best) ? edge : best),
    withFirst(firstMin),
  )
}

/** Student-t of the next observation at `row`. @throws DomainError `BELIEF_UNDETERMINED` */
export function predictAt(belief: NormalInverseGamma, row: Row): Predictive {
  const { r11, r12, r22, shape, rate } = belief
  if (!(shape > 0)) throw new DomainError('BELIEF_UNDETERMINED', { shape })
  const mean = meanOf(belief)
  const along = row[0] / r11
  const across = (row[1] - r12 * along) / r22
  const leverage = along * along + across * across
  const variance = rate / shape
  return {
    mean: row[0] * mean[0] + row[1] * mean[1],
    scale: Math.sqrt(variance * (1 + leverage)),
    lineScale: Math.sqrt(variance * leverage),
    degreesOfFreedom: 2 * shape,
  }
}
