import { DomainError } from './errors.ts'
import { interceptPrior, wholeVariance } from './leg-prior.ts'
import type { Material } from './materials.ts'
import { meanWithin, type NormalInverseGamma, predictAt, type Row } from './normal-inverse-gamma.ts'
import { springbackSlope, type TubeOnDie } from './section.ts'

/**
 * What is known of one set-up's springback. For a tube taken to θ under load,
 *
 *     s(θ) = min(θ, b·θ + a·(1 − exp(−θ/θ0)))
 *
 * b is the bent arc's share (see `springbackSlope`); a is what the straight legs and the machine
 * give, once the moment has grown to its full value. A plain value: learning returns a new one.
 */
export interface SpringbackModel {
  readonly belief: NormalInverseGamma
  /** Bends learned since the prior. */
  readonly bends: number
}

/** a in degrees and b, dimensionless. */
export interface Coefficients {
  readonly interceptDeg: number
  readonly slope: number
}

/**
 * θ0: how soon a has grown. Published tests of round tube find springback straight in the angle beyond
 * some angle, which their abstracts do not tell; that it is 15 to 20° is common practice, no source. With
 * 6° the law is within 0.03° of the straight line at 20° for a = 0.6°.
 */
const TRANSITION_DEG = 6

/**
 * What the coefficients can be. A little below zero for a zero taken with the slack still in (how little
 * is judgement, no source); b = 1 is a tube that takes no set at all.
 */
const LIMITS = { firstMin: -0.3, secondMin: 0, secondMax: 1 }

/**
 * Before the first bend the noise of one bend is about 0.2°, believed as firmly as if six bends had shown it.
 * (Judgement, no source.)
 */
export const NOISE_PRIOR = { sdDeg: 0.2, shape: 3 }

function checkLoaded(loadedDeg: number): void {
  if (!(loadedDeg > 0 && loadedDeg <= 360)) throw new DomainError('LOADED_ANGLE', { loadedDeg })
}

/** What intercept and slope are multiplied by at a loaded angle in degrees. */
export function rowAt(loadedDeg: number): Row {
  return [1 - Math.exp(-loadedDeg / TRANSITION_DEG), loadedDeg]
}

/** The law itself: degrees that come back from `loadedDeg`, never less than 0 nor more than it. */
export function springbackAtDeg({ interceptDeg, slope }: Coefficients, loadedDeg: number): number {
  const [grown, bent] = rowAt(loadedDeg)
  return Math.max(0, Math.min(loadedDeg, slope * bent + interceptDeg * grown))
}

/**
 * What the mechanics of section and legs says before any bend of this set-up. The belief is that of
 * a = perSlope·b + α, with α and b independent: R has a cross term and the legs go along with the slope.
 *
 * @throws DomainError of the tube
 */
export function priorFor(tube: TubeOnDie, material: Material): SpringbackModel {
  const slope = springbackSlope(tube, material.law, material.unloadingFactor)
  const intercept = interceptPrior(slope, tube.clrMm)
  const { sdDeg, shape } = NOISE_PRIOR
  const r11 = sdDeg / Math.sqrt(wholeVariance(intercept))
  const r22 = sdDeg / (material.slopeSpread * slope)
  const r12 = -r11 * intercept.perSlopeDeg
  // The mean of an inverse gamma is rate/(shape − 1).
  const rate = sdDeg * sdDeg * (shape - 1)
  return { belief: { r11, r12, r22, z1: 0, z2: r22 * slope, shape, rate }, bends: 0 }
}

/** Most likely a and b, kept to what can be. */
export function coefficientsOf(model: SpringbackModel): Coefficients {
  const [interceptDeg, slope] = meanWithin(model.belief, LIMITS)
  return { interceptDeg, slope }
}

/**
 * Springback of the next bend, Student-t: middle, scale, degrees of freedom. @throws DomainError
 */
export function springbackOfNext(
  model: SpringbackModel,
  loadedDeg: number,
): { springbackDeg: number; scaleDeg: number; degreesOfFreedom: number } {
  checkLoaded(loadedDeg)
  const { scale, degreesOfFreedom } = predictAt(model.belief, rowAt(loadedDeg))
  const springbackDeg = springbackAtDeg(coefficientsOf(model), loadedDeg)
  return { springbackDeg, scaleDeg: scale, degreesOfFreedom }
}
