import type { Departure, Foretold } from './level-shares.ts'
import type { Pair } from './level-solver.ts'
import type { NormalInverseGamma } from './normal-inverse-gamma.ts'
import { NOISE_PRIOR } from './springback.ts'

/** Squared one-step errors of other set-ups, and of how many bends. */
export interface NoiseSeen {
  readonly sum: number
  readonly count: number
}

/**
 * However many bends other set-ups had, this one's noise is believed no more firmly than 24 bends of
 * its own would make it: set-ups differ. (Judgement, no source.)
 */
const SHAPE_MAX = 12

/** Inverse gamma of the noise variance of a new set-up, from what other set-ups scattered. */
export function noisePrior({ sum, count }: NoiseSeen): { shape: number; rate: number } {
  const before = NOISE_PRIOR.sdDeg ** 2 * (NOISE_PRIOR.shape - 1)
  const variance = (before + sum / 2) / (NOISE_PRIOR.shape - 1 + count / 2)
  const shape = Math.min(SHAPE_MAX, NOISE_PRIOR.shape + count / 2)
  return { shape, rate: variance * (shape - 1) }
}

/**
 * A set-up before its own bends: its lot's ratio ρ and its die's intercept α, each widened by how much a
 * set-up departs from them, as a belief of a = (1 + ρ)·leg + α and b = (1 + ρ)·slope. With no other bends at
 * all it is `priorFor`.
 *
 * @param foretold By the mechanics of legs and section.
 */
export function priorOf(
  { mean, firstVariance, covariance, secondVariance }: Pair,
  { interceptVariance, ratioVariance }: Departure,
  { legDeg, slope }: Foretold,
  noise: { readonly shape: number; readonly rate: number },
): NormalInverseGamma {
  const variance = noise.rate / (noise.shape - 1)
  const intercept = firstVariance + interceptVariance
  const ratio = secondVariance + ratioVariance
  const determinant = intercept * ratio - covariance * covariance
  // Of α and ρ first; then ρ = b/slope − 1 and α = a − leg·b/slope are put in.
  const own = Math.sqrt((variance * ratio) / determinant)
  const cross = (-variance * covariance) / determinant / own
  const ofRatio = Math.sqrt(variance / ratio)
  const z1 = own * mean[0] + cross * (1 + mean[1])
  const z2 = ofRatio * (1 + mean[1])
  return { r11: own, r12: (cross - own * legDeg) / slope, r22: ofRatio / slope, z1, z2, ...noise }
}
