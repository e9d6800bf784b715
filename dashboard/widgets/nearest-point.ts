interface Place {
  readonly xPx: number
  readonly yPx: number
}

/** A finger is as wide as a target must be: half of 44 px either way. */
const REACH_PX = 22

/** The point nearest to a place on the chart, within a finger's reach; null where there is none. */
export function nearestPoint<Point>(
  points: readonly Point[],
  placeOf: (point: Point) => Place,
  { xPx, yPx }: Place,
): Point | null {
  let nearest: Point | null = null
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
