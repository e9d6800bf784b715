import type { BendCharts } from '../../../server/messages/charts.ts'
import type { ChartPoint } from './point-columns.ts'

export type ErrorChart = NonNullable<BendCharts['error']>

/**
 * The errors in the order in which they were recorded, also where the clock was set back meanwhile; void bends stand
 * among them, at their number, and count nowhere.
 */
export function pointsOf(error: ErrorChart, voided: BendCharts['voided']): ChartPoint[] {
  const counted = error.points.map(({ id, offDeg, toleranceDeg, broken, changed }) => ({
    ...{ id, deg: offDeg, toleranceDeg, changed },
    ...{ isBroken: broken.some((rule) => rule !== 'range'), isVoid: false },
  }))
  const apart = voided.points.map(({ id, offDeg }) => ({
    ...{ id, deg: offDeg, toleranceDeg: null, changed: [] },
    ...{ isBroken: false, isVoid: true },
  }))
  return [...counted, ...apart]
    .toSorted((a, b) => a.id - b.id)
    .map((point, before) => ({ ...point, place: before + 1 }))
}

/** Each over the place of its bend. The bend after a change has no range: the next one that has tells of it. */
export function rangesOf({ points }: ErrorChart, drawn: readonly ChartPoint[]): ChartPoint[] {
  const placeOf = new Map(drawn.map(({ id, place }) => [id, place]))
  const ranges: ChartPoint[] = []
  let since: ChartPoint['changed'] = []
  for (const { id, rangeDeg, broken, changed } of points) {
    since = [...new Set([...since, ...changed])]
    if (rangeDeg === null) continue
    const isBroken = broken.includes('range')
    ranges.push({
      ...{ id, place: placeOf.get(id) ?? 0, deg: rangeDeg, toleranceDeg: null },
      ...{ isBroken, isVoid: false, changed: since },
    })
    since = []
  }
  return ranges
}
