/** A straight line through (`x`, `y`). */
export interface Line {
  readonly x: number
  readonly y: number
  readonly slope: number
}

/**
 * The line below all points that is closest to them: the edge of their lower convex hull under their mean
 * abscissa. Delays only ever add, so the points of least delay lie on it.
 *
 * @param xs Ascending, at least two different ones. @param ys As many.
 * Source: Moon, Skelly and Towsley, "Estimation and removal of clock skew from network delay measurements",
 * INFOCOM 1999: its linear program has this edge as its solution (from memory).
 */
export function lowerEnvelope(xs: readonly number[], ys: readonly number[]): Line {
  const hull = lowerHull(xs, ys)
  const meanX = xs.reduce((sum, x) => sum + x, 0) / xs.length
  const right = hull.findIndex((place, nth) => nth > 0 && at(xs, place) >= meanX)
  const a = at(hull, right - 1)
  const b = at(hull, right)
  const slope = (at(ys, b) - at(ys, a)) / (at(xs, b) - at(xs, a))
  return { x: at(xs, a), y: at(ys, a), slope }
}

/** Places of the hull's corners, from left to right (Andrew's monotone chain). */
function lowerHull(xs: readonly number[], ys: readonly number[]): number[] {
  const hull: number[] = []
  for (let place = 0; place < xs.length; place++) {
    while (hull.length >= 2 && turnsDown(xs, ys, at(hull, -2), at(hull, -1), place)) hull.pop()
    hull.push(place)
  }
  return hull
}

/** Whether the corner `b` lies on or above the straight line from `a` to `c`. */
function turnsDown(xs: readonly number[], ys: readonly number[], a: number, b: number, c: number) {
  const run = at(xs, b) - at(xs, a)
  const wholeRun = at(xs, c) - at(xs, a)
  return (at(ys, c) - at(ys, a)) * run <= (at(ys, b) - at(ys, a)) * wholeRun
}

function at(list: readonly number[], place: number): number {
  const found = list.at(place)
  if (found === undefined) throw new RangeError('a lower envelope needs two points at least')
  return found
}
