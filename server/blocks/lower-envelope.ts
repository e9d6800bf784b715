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
  findLowerHull(xs, ys)
  let sumX = 0
  for (let place = 0; place < xs.length; place++) sumX += at(xs, place)
  const meanX = sumX / xs.length
  let right = 1
  while (right < hull.length && !(at(xs, at(hull, right)) >= meanX)) right++
  const a = at(hull, right - 1)
  const b = at(hull, right)
  const slope = (at(ys, b) - at(ys, a)) / (at(xs, b) - at(xs, a))
  return { x: at(xs, a), y: at(ys, a), slope }
}

/** Places of the hull's corners, from left to right: made anew by each call, and read before it returns. */
const hull: number[] = []

/** Andrew's monotone chain. */
function findLowerHull(xs: readonly number[], ys: readonly number[]): void {
  hull.length = 0
  for (let place = 0; place < xs.length; place++) {
    while (hull.length >= 2 && turnsDown(xs, ys, place)) hull.pop()
    hull.push(place)
  }
}

/** Whether the last corner lies on or above the straight line from the one before it to `c`. */
function turnsDown(xs: readonly number[], ys: readonly number[], c: number): boolean {
  const a = at(hull, hull.length - 2)
  const b = at(hull, hull.length - 1)
  const run = at(xs, b) - at(xs, a)
  const wholeRun = at(xs, c) - at(xs, a)
  return (at(ys, c) - at(ys, a)) * run <= (at(ys, b) - at(ys, a)) * wholeRun
}

function at(list: readonly number[], place: number): number {
  const found = list[place]
  if (found === undefined) throw new RangeError('a lower envelope needs two points at least')
  return found
}
