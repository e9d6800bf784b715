import { DomainError } from './errors.ts'
import type { Material } from './materials.ts'
import {
  beliefFrom,
  meanWithin,
  type NormalInverseGamma,
  observe,
  predictAt,
  type Row,
} from './normal-inverse-gamma.ts'
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

/** A bend as the model learns it: one tube, its last go. Degrees. */
export interface LearnedBend {
  readonly loadedDeg: number
  readonly springbackDeg: number
}

/**
 * θ0: how soon a has grown. Published tests of round tube find springback straight in the angle
 * from 15 to 20° on; with 6° the law is within 0.02° of the straight line at 20° for a = 0.6°.
 */
const TRANSITION_DEG = 6

/**
 * What the coefficients can be. A little below zero for a zero taken with the slack still in; b = 1
 * is a tube that takes no set at all.
 */
const LIMITS = { firstMin: -0.3, secondMin: 0, secondMax: 1 }

/**
 * Before the first bend: straight leg and machine give 0.2 to 0.8°; the noise of one bend is about
 * 0.2°, believed as firmly as if six bends had shown it. (Judgement, no source.)
 */
export const PRIOR = { interceptDeg: 0.5, interceptSdDeg: 0.4, noiseSdDeg: 0.2, shape: 3 }

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

/** What the section's mechanics says before any bend of this set-up. @throws DomainError */
export function priorFor(tube: TubeOnDie, material: Material): SpringbackModel {
  const slope = springbackSlope(tube, material.law, material.unloadingFactor)
  const variance = PRIOR.noiseSdDeg ** 2
  const belief = beliefFrom({
    mean: [PRIOR.interceptDeg, slope],
    precision: [
      variance / PRIOR.interceptSdDeg ** 2,
      variance / (material.slopeSpread * slope) ** 2,
    ],
    shape: PRIOR.shape,
    // The mean of an inverse gamma is rate/(shape − 1).
    rate: variance * (PRIOR.shape - 1),
  })
  return { belief, bends: 0 }
}

/**
 * The model after one more bend. Whether the bend may teach is `mayTeach`'s to say.
 *
 * @throws DomainError `LOADED_ANGLE` or `SPRINGBACK` for what no bend can be.
 */
export function learn(
  model: SpringbackModel,
  { loadedDeg, springbackDeg }: LearnedBend,
): SpringbackModel {
  checkLoaded(loadedDeg)
  if (!(springbackDeg > 0 && springbackDeg < loadedDeg))
    throw new DomainError('SPRINGBACK', { loadedDeg, springbackDeg })
  const belief = observe(model.belief, rowAt(loadedDeg), springbackDeg)
  return { belief, bends: model.bends + 1 }
}

/** The model rebuilt from its history, oldest first: the same bends give the same digits. */
export function modelFrom(prior: SpringbackModel, bends: Iterable<LearnedBend>): SpringbackModel {
  let model = prior
  for (const bend of bends) model = learn(model, bend)
  return model
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
