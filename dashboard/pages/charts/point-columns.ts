/** One bend on a chart. */
export interface ChartPoint {
  readonly id: number
  /** In the order of bending, from 1: the same on every chart of these bends. */
  readonly place: number
  readonly deg: number
  readonly isBroken: boolean
  readonly isVoid: boolean
  /** Of these it has another than the point before it. */
  readonly changed: readonly ('station' | 'die' | 'lot')[]
  /** Its tolerance, either way; null: not drawn. */
  readonly toleranceDeg: number | null
}

/** Degrees of the lines over the whole width; null: there is none. */
export interface ChartLines {
  readonly centreDeg: number | null
  readonly limitsDeg: readonly number[]
}

const SHOWN_DEG_MIN = 0.1
/** So much room above and below, as a part of the height. */
const ROOM = 0.08

/** The points in order, and the tolerance about zero. */
export function columnsOf(points: readonly ChartPoint[]): [number[], ...(number | null)[][]] {
  const tolerance = points.map((point) => point.toleranceDeg)
  return [
    points.map(({ place }) => place),
    tolerance,
    tolerance.map((deg) => (deg === null ? null : -deg)),
    points.map(({ deg }) => deg),
  ]
}

/** From the least to the largest of all that is drawn. */
export function heightsOf(
  points: readonly ChartPoint[],
  { centreDeg, limitsDeg }: ChartLines,
): [number, number] {
  const drawn = [centreDeg, ...limitsDeg, ...points.map(({ deg }) => deg)]
  const tolerances = points.flatMap(({ toleranceDeg }) =>
    toleranceDeg === null ? [] : [toleranceDeg, -toleranceDeg],
  )
  let [least, most] = [Infinity, -Infinity]
  for (const deg of [...drawn, ...tolerances]) {
    if (deg === null) continue
    least = Math.min(least, deg)
    most = Math.max(most, deg)
  }
  if (!(most >= least)) return [0, SHOWN_DEG_MIN]
  const room = Math.max(SHOWN_DEG_MIN, most - least) * ROOM
  return [least - room, most + room]
}
