import tQuantile from '@stdlib/stats-base-dists-t-quantile'
import { type SpringbackModel, springbackOfNext } from './springback.ts'

/** What the model says of one bend before it is let off. Degrees. */
export interface SpringbackPrediction {
  readonly springbackDeg: number
  /** 95 % interval for this very bend, its own scatter included; within 0 and the loaded angle. */
  readonly lowDeg: number
  readonly highDeg: number
  /** Scale of the Student-t that the interval is taken from. */
  readonly scaleDeg: number
  readonly degreesOfFreedom: number
}

/**
 * Springback of the next bend at `loadedDeg` with its 95 % interval.
 *
 * @throws DomainError `LOADED_ANGLE`
 */
export function predictSpringback(model: SpringbackModel, loadedDeg: number): SpringbackPrediction {
  const next = springbackOfNext(model, loadedDeg)
  const halfDeg = tQuantile(0.975, next.degreesOfFreedom) * next.scaleDeg
  return {
    ...next,
    lowDeg: Math.max(0, next.springbackDeg - halfDeg),
    highDeg: Math.min(loadedDeg, next.springbackDeg + halfDeg),
  }
}
