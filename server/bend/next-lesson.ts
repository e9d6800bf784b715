import tQuantile from '@stdlib/stats-base-dists-t-quantile'
import { observe, predictAt } from './normal-inverse-gamma.ts'
import { rowAt, type SpringbackModel } from './springback.ts'

/** Half widths of the 95 % interval of a bend at one loaded angle, degrees. */
export interface NextLesson {
  readonly nowDeg: number
  /** After one more bend at this angle, if it surprises as much as bends are expected to. */
  readonly afterDeg: number
  /** What any number of bends leaves: the scatter from tube to tube, as it is believed now. */
  readonly leftDeg: number
}

/** 97.5 % of the standard normal. */
const Z_95 = 1.959963984540054

function halfDeg({ belief }: SpringbackModel, loadedDeg: number): number {
  const { scale, degreesOfFreedom } = predictAt(belief, rowAt(loadedDeg))
  return tQuantile(0.975, degreesOfFreedom) * scale
}

/**
 * What the next bend at `loadedDeg` will teach, before it is made. How much better the line is then known does not
 * depend on what comes of the bend; the noise is taken as believed now, which the next bend changes on average by
 * nothing: an off-by whose square is what is expected of it.
 *
 * @param loadedDeg more than 0, degrees.
 */
export function nextLesson(model: SpringbackModel, loadedDeg: number): NextLesson {
  const { belief, bends } = model
  const row = rowAt(loadedDeg)
  const { mean, scale, degreesOfFreedom } = predictAt(belief, row)
  const usualDeg = scale * Math.sqrt(degreesOfFreedom / (degreesOfFreedom - 2))
  const after = { belief: observe(belief, row, mean + usualDeg), bends: bends + 1 }
  const leftDeg = Z_95 * Math.sqrt(belief.rate / (belief.shape - 1))
  return { nowDeg: halfDeg(model, loadedDeg), afterDeg: halfDeg(after, loadedDeg), leftDeg }
}
