import type { SpringbackPoint } from '../../../server/messages/springback.ts'

interface Place {
  readonly xPx: number
  readonly yPx: number
}

/** A finger is as wide as a target must be: half of 44 px either way. */
const REACH_PX = 22

/** The bend nearest to a place on the chart, within a finger's reach; null where there is none. */
export function nearestPoint(
  points: readonly SpringbackPoint[],
  placeOf: (point: SpringbackPoint) => Place,
  { xPx, yPx }: Place,
): SpringbackPoint | null {
  let nearest: SpringbackPoint | null = null
  let least = REACH_PX
  for (const point of points) {
    const place = placeOf(point)
    const far = Math.hypot(place.xPx - xPx, place.yPx - yPx)
    if (far > least) continue
    nearest = point
    least = far
  }
  return nearest
}
