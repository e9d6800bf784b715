/**
 * The trace of the bend in hand: seconds and degrees in typed arrays that never grow.
 *
 * Each column is twice as long as what it keeps: points are written forward and moved back once a
 * window, so a view is a `subarray` and appending allocates nothing. When full, the oldest goes.
 */
export interface TraceRing {
  readonly length: number
  /** Points are refused when time does not go on by at least `spacingS`: a screen shows no more. */
  push(timeS: number, angleDeg: number): boolean
  clear(): void
  /** Views on what is kept, oldest first. Valid until the next `push`. */
  view(): [Float64Array, Float64Array]
}

export function makeTraceRing(pointsMax: number, spacingS = 0): TraceRing {
  if (!(Number.isInteger(pointsMax) && pointsMax > 0))
    throw new RangeError(`A trace keeps a whole number of points, got ${pointsMax}.`)
  const times = new Float64Array(2 * pointsMax)
  const angles = new Float64Array(2 * pointsMax)
  let start = 0
  let end = 0

  function makeRoom() {
    if (end < times.length) return
    times.copyWithin(0, start, end)
    angles.copyWithin(0, start, end)
    end -= start
    start = 0
  }

  return {
    get length() {
      return end - start
    },
    push(timeS, angleDeg) {
      const lastS = end > start ? (times[end - 1] ?? -Infinity) : -Infinity
      if (!(timeS > lastS && timeS - lastS >= spacingS && Number.isFinite(angleDeg))) return false
      if (end - start === pointsMax) start += 1
      makeRoom()
      times[end] = timeS
      angles[end] = angleDeg
      end += 1
      return true
    },
    clear() {
      start = 0
      end = 0
    },
    view: () => [times.subarray(start, end), angles.subarray(start, end)],
  }
}
