import type { SpringbackView } from '../../../server/messages/springback.ts'

/** A prior much wider than what is known since runs out of the sheet: what is known is to be read. */
const PRIOR_SHARE_MAX = 1.5
const ROOM = 1.08

export interface ChartRange {
  readonly endDeg: number
  readonly topDeg: number
}

/** Ends of the chart's axes, degrees: loaded angle and springback. Both begin at 0. */
export function rangeOf({ loadedDeg, posterior, prior, points }: SpringbackView): ChartRange {
  const largest = (values: readonly number[]) =>
    values.reduce((most, deg) => Math.max(most, deg), 0)
  const known = Math.max(
    largest(posterior.highDeg),
    largest(points.map(({ springbackDeg }) => springbackDeg)),
  )
  const topDeg = Math.max(known, Math.min(largest(prior.highDeg), PRIOR_SHARE_MAX * known))
  return { endDeg: loadedDeg.at(-1) ?? 0, topDeg: ROOM * topDeg }
}
