import type { BendCharts } from '../../../server/messages/charts.ts'

type Extent = NonNullable<BendCharts['lots'][number]['wanted']>

/** The angles that the bends of these lots were bent to; null where no bend has a springback. Degrees. */
export function wantedOfAll(lots: BendCharts['lots']): Extent | null {
  const known = lots.map(({ wanted }) => wanted).filter((wanted) => wanted !== null)
  if (known.length === 0) return null
  return {
    leastDeg: Math.min(...known.map(({ leastDeg }) => leastDeg)),
    mostDeg: Math.max(...known.map(({ mostDeg }) => mostDeg)),
  }
}

/** True of one angle alone: springback grows with the angle, so that other mixes of angles are no other tube. */
export const isOneAngle = (wanted: Extent | null) =>
  wanted === null || wanted.leastDeg === wanted.mostDeg
