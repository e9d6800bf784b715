import { predictAt } from './normal-inverse-gamma.ts'
import { coefficientsOf, type SpringbackModel } from './springback.ts'
import { predictSpringback } from './springback-prediction.ts'

/** Springback over the loaded angle, with the 95 % interval of the next bend. Columns of one length, degrees. */
export interface SpringbackBand {
  readonly springbackDeg: number[]
  readonly lowDeg: number[]
  readonly highDeg: number[]
}

/** Steps of a curve: straight lines between them lie within 0.01° of the law. */
const STEPS = 60
/** Shown even where nothing was bent so far. */
const SHOWN_DEG_MIN = 100
const FULL_TURN_DEG = 360
const ROUND_DEG = 10

/** Loaded angles of a curve, from 0 to a round angle past all of `anglesDeg`, a full turn at most. */
export function curveAnglesDeg(anglesDeg: readonly number[]): number[] {
  const largestDeg = anglesDeg.reduce((most, deg) => Math.max(most, deg), SHOWN_DEG_MIN)
  const endDeg = Math.min(FULL_TURN_DEG, Math.ceil((largestDeg + 1) / ROUND_DEG) * ROUND_DEG)
  return Array.from({ length: STEPS + 1 }, (_, step) => (endDeg * step) / STEPS)
}

/** What a model says of the next bend at each loaded angle, degrees; nothing springs back from 0. */
export function bandOf(model: SpringbackModel, loadedDeg: readonly number[]): SpringbackBand {
  const each = loadedDeg.map((deg) =>
    deg > 0 ? predictSpringback(model, deg) : { springbackDeg: 0, lowDeg: 0, highDeg: 0 },
  )
  return {
    springbackDeg: each.map(({ springbackDeg }) => springbackDeg),
    lowDeg: each.map(({ lowDeg }) => lowDeg),
    highDeg: each.map(({ highDeg }) => highDeg),
  }
}

/** Intercept in degrees, slope without unit, noise of one bend in degrees; each with a standard deviation. */
export interface LawKnown {
  readonly interceptDeg: number
  readonly interceptSdDeg: number
  readonly slope: number
  readonly slopeSd: number
  readonly noiseSdDeg: number
}

/** The two coefficients of the law as they are believed, and the scatter from bend to bend. */
export function lawOf(model: SpringbackModel): LawKnown {
  const { belief } = model
  const { interceptDeg, slope } = coefficientsOf(model)
  // Of a Student-t; every model here has at least six degrees of freedom.
  const sdOf = (row: readonly [number, number]) => {
    const { lineScale, degreesOfFreedom } = predictAt(belief, row)
    return lineScale * Math.sqrt(degreesOfFreedom / (degreesOfFreedom - 2))
  }
  const noiseSdDeg = Math.sqrt(belief.rate / (belief.shape - 1))
  return { interceptDeg, interceptSdDeg: sdOf([1, 0]), slope, slopeSd: sdOf([0, 1]), noiseSdDeg }
}
