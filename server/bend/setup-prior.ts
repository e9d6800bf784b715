import type { Departure } from './level-shares.ts'
import type { Pair } from './level-solver.ts'
import type { NormalInverseGamma } from './normal-inverse-gamma.ts'
import { PRIOR } from './springback.ts'

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
  const before = PRIOR.noiseSdDeg ** 2 * (PRIOR.shape - 1)
  const variance = (before + sum / 2) / (PRIOR.shape - 1 + count / 2)
  const shape = Math.min(SHAPE_MAX, PRIOR.shape + count / 2)
  return { shape, rate: variance * (shape - 1) }
}

/**
 * A set-up before its own bends: its lot's ratio and its die's intercept, each widened by how much
 * a set-up departs from them. With no other bends at all it is `priorFor`.
 *
 * @param slope Predicted by the section's mechanics.
 */
export function priorOf(
  { mean, firstVariance, covariance, secondVariance }: Pair,
  { interceptVariance, ratioVariance }: Departure,
  slope: number,
  noise: { readonly shape: number; readonly rate: number },
): NormalInverseGamma {
  const variance = noise.rate / (noise.shape - 1)
  const intercept = firstVariance + interceptVariance
  const slopeVariance = slope * slope * (secondVariance + ratioVariance)
  const cross = slope * covariance
  const determinant = intercept * slopeVariance - cross * cross
  const r11 = Math.sqrt((variance * slopeVariance) / determinant)
  const r12 = (-variance * cross) / determinant / r11
  const r22 = Math.sqrt(variance / slopeVariance)
  const first = PRIOR.interceptDeg + mean[0]
  const second = slope * (1 + mean[1])
  return { r11, r12, r22, z1: r11 * first + r12 * second, z2: r22 * second, ...noise }
}
