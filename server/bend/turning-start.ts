import { addRow, type LeastSquares, newLeastSquares, solve } from './least-squares.ts'
import { BEND_WEIGHT, type Shape, type Stretch, wayBefore } from './turning-curve.ts'

/** What a piece of the trace says of the one level that all its pieces share. */
interface Piece {
  readonly levelDeg: number
  /** How surely, in samples. */
  readonly weight: number
  /** Sum of squared residuals at that level. */
  readonly squares: number
}

interface Rise extends Piece {
  readonly slowS: number
  /** Number of the sample at which it stops. */
  readonly end: number
}

interface Fall extends Piece {
  readonly tauS: number
  /** Number of the sample at which it begins. */
  readonly first: number
}

/** A shape to search on from, and the squares that it leaves over. */
export interface Start extends Shape {
  readonly squares: number
}

/** Corners are tried so far apart: half of it is near enough for the search that follows. */
const APART_S = 0.019
/** Dead stop, and a short and a long way of slowing down. */
const SLOW_S = [0, 0.12]
const TAU_S = [0.05, 0.2]
/** One more than the freedoms of a rise. */
const SAMPLES_MIN = 4

/**
 * Starts for a search in the valley that is lowest of all, not in the nearest. Rise, hold and fall share nothing but
 * a level: each is fitted once for each corner, and every pair of corners then costs a few additions, so that all are
 * tried (R. Bellman, Commun. ACM 4 (1961) 284, for straight lines; quoted from memory).
 *
 * @param falls whether the stretch ends in a fall; if not, the die stands still to its end.
 */
export function startFinder({ timeS, angleDeg }: Stretch, falls: boolean) {
  const corners = cornersOf(timeS)
  const heightDeg = angleDeg.map((each) => each - (angleDeg[0] as number))
  const sums = cumulated(heightDeg)
  const squares = cumulated(heightDeg.map((each) => each * each))
  const rises = corners.flatMap((end) =>
    SLOW_S.map((slowS) => fitRise(timeS, heightDeg, end, slowS)),
  )
  // A die that turns before it stops has passed its top: that is a fall, with another name.
  const rising = rises.filter((rise) => rise !== null)
  const standing: Fall = { first: timeS.length, tauS: 0.1, levelDeg: 0, weight: 0, squares: 0 }
  const fallings = falls
    ? corners.flatMap((first) => TAU_S.map((tauS) => fitFall(timeS, heightDeg, first, tauS)))
    : [standing]

  function leftOver(rise: Rise, fall: Fall): number {
    const count = fall.first - rise.end
    const sumDeg = (sums[fall.first] as number) - (sums[rise.end] as number)
    const levelDeg = count > 0 ? sumDeg / count : 0
    const own = (squares[fall.first] as number) - (squares[rise.end] as number) - levelDeg * sumDeg
    const upWeight = rise.weight + count
    const apartDeg = rise.levelDeg - levelDeg
    const upDeg = levelDeg + (apartDeg * rise.weight) / upWeight
    return (
      rise.squares +
      own +
      (apartDeg ** 2 * rise.weight * count) / upWeight +
      fall.squares +
      ((upDeg - fall.levelDeg) ** 2 * upWeight * fall.weight) / (upWeight + fall.weight)
    )
  }

  /** @returns null when the stretch is too short for such a shape, or does not rise. */
  return function find(slows: boolean, holds: boolean): Start | null {
    let least = Number.POSITIVE_INFINITY
    let best: readonly [Rise, Fall] | null = null
    for (const rise of rising.filter(({ slowS }) => slowS > 0 === slows))
      for (const fall of fallings.filter(fallsAfter(rise, holds))) {
        if (rise.squares + fall.squares >= least) continue
        const left = leftOver(rise, fall)
        if (left >= least) continue
        least = left
        best = [rise, fall]
      }
    return best && { ...shapeOf(timeS, ...best), squares: least }
  }
}

const fallsAfter =
  ({ end }: Rise, holds: boolean) =>
  ({ first }: Fall): boolean =>
    holds ? first > end : first === end

function shapeOf(timeS: readonly number[], { end, slowS }: Rise, { first, tauS }: Fall): Shape {
  const fallAtS = timeS[first] ?? (timeS.at(-1) as number)
  return { stopS: timeS[end] as number, slowS, fallAtS, tauS }
}

function cornersOf(timeS: readonly number[]): number[] {
  const corners: number[] = []
  let nextS = Number.NEGATIVE_INFINITY
  for (let index = SAMPLES_MIN; index <= timeS.length - SAMPLES_MIN; index += 1) {
    const atS = timeS[index] as number
    if (atS < nextS) continue
    corners.push(index)
    nextS = atS + APART_S
  }
  return corners
}

/** Sums of the values before each place: those of any piece cost two reads. */
function cumulated(values: readonly number[]): Float64Array {
  const sums = new Float64Array(values.length + 1)
  values.forEach((value, index) => {
    sums[index + 1] = (sums[index] as number) + value
  })
  return sums
}

/** @returns null if the die would come back before it stops. */
function fitRise(
  timeS: readonly number[],
  heightDeg: readonly number[],
  end: number,
  slowS: number,
): Rise | null {
  const problem = newLeastSquares(3)
  const { row, solution } = problem
  const stopS = timeS[end] as number
  row[1] = BEND_WEIGHT
  addRow(problem, 0)
  row[2] = 1
  for (let index = 0; index < end; index += 1) {
    const way = wayBefore(stopS - (timeS[index] as number), slowS)
    row[0] = way
    row[1] = way * way
    addRow(problem, heightDeg[index] as number)
  }
  const piece = pieceOf(problem)
  return (solution[0] as number) < 0 ? { ...piece, slowS, end } : null
}

function fitFall(
  timeS: readonly number[],
  heightDeg: readonly number[],
  first: number,
  tauS: number,
): Fall {
  const problem = newLeastSquares(2)
  const { row } = problem
  const fallAtS = timeS[first] as number
  row[1] = 1
  for (let index = first; index < timeS.length; index += 1) {
    row[0] = 1 - Math.exp((fallAtS - (timeS[index] as number)) / tauS)
    addRow(problem, heightDeg[index] as number)
  }
  return { ...pieceOf(problem), tauS, first }
}

/** The level is the last column, so that the factor's last diagonal element is its own weight alone. */
function pieceOf(problem: LeastSquares): Piece {
  const squares = solve(problem)
  const levelDeg = problem.solution.at(-1) as number
  return { levelDeg, weight: (problem.normal.at(-1) as number) ** 2, squares }
}
