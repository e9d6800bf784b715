import tQuantile from '@stdlib/stats-base-dists-t-quantile'
import { predictAt } from './normal-inverse-gamma.ts'
import { coefficientsOf, rowAt, type SpringbackModel, springbackAtDeg } from './springback.ts'

/** How much more one springs back than another, degrees. */
export interface LotDifference {
  readonly differenceDeg: number
  /** Half of its 95 % interval. */
  readonly expandedDeg: number
  /** True: larger than what it is known to. Otherwise the two cannot be told apart yet. */
  readonly isTold: boolean
}

/**
 * The line of one model held against the mean of others' at one loaded angle. They are taken as independent; where
 * they share what taught them, the truth is better known than said.
 *
 * @param others One or more.
 */
export function lotDifference(
  lot: SpringbackModel,
  others: readonly SpringbackModel[],
  loadedDeg: number,
): LotDifference {
  const row = rowAt(loadedDeg)
  const count = others.length
  const own = predictAt(lot.belief, row)
  const each = others.map(({ belief }) => predictAt(belief, row))
  const at = (model: SpringbackModel) => springbackAtDeg(coefficientsOf(model), loadedDeg)
  const differenceDeg = others.reduce((rest, other) => rest - at(other) / count, at(lot))
  const variance = each.reduce((sum, { lineScale }) => sum + lineScale ** 2, 0) / count ** 2
  const freedoms = [own, ...each].map(({ degreesOfFreedom }) => degreesOfFreedom)
  const expandedDeg =
    tQuantile(0.975, Math.min(...freedoms)) * Math.sqrt(own.lineScale ** 2 + variance)
  return { differenceDeg, expandedDeg, isTold: Math.abs(differenceDeg) > expandedDeg }
}
