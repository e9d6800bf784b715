import {
  addRow,
  clearLeastSquares,
  type LeastSquares,
  newLeastSquares,
  solve,
} from './least-squares.ts'

/** A stretch of the trace about the end of a stroke. */
export interface Stretch {
  readonly timeS: readonly number[]
  readonly angleDeg: readonly number[]
}

export interface TurningPoint {
  readonly peakDeg: number
  readonly peakAtS: number
}

/**
 * What a die does at the end of a stroke, as a curve: it rises, slows evenly to nothing within `slowS`,
 * stands (or creeps back) for `holdS`, and falls off exponentially. Everything that enters straight
 * (level, rate and its bend, creep, fall) is solved for by least squares; these four are searched.
 */
interface Shape {
  readonly stopAtS: number
  readonly slowS: number
  readonly holdS: number
  readonly tauS: number
}

const COLUMNS = 5
/** So much of a rise tells its rate; more would bring in how the rate varies with the arm's geometry. */
const RISE_S = 0.25
/** A hold shorter than this says nothing about creep. */
const CREEP_FROM_S = 0.15
const SLOW_MAX_S = 0.4
const TAU_MIN_S = 0.01
const TAU_MAX_S = 2

/**
 * The peak under load: the top of the curve that fits best, not the largest sample, which noise lifts and
 * a smoother's lag lowers. Variable projection (G. H. Golub and V. Pereyra, SIAM J. Numer. Anal. 10 (1973)
 * 413–432) with the direct search of R. Hooke and T. A. Jeeves (J. ACM 8 (1961) 212–229), quoted from memory.
 *
 * @param falls whether the stretch ends in a fall; if not, the die stands still to its end.
 * @param nearS where the top seems to be.
 */
export function fitTurningPoint(whole: Stretch, falls: boolean, nearS: number): TurningPoint {
  const problem = newLeastSquares(COLUMNS)
  const start = best(starts(falls, nearS), (shape) => project(problem, whole, shape, falls))
  const stretch = since(whole, start.stopAtS - RISE_S)
  const shape = search((tried) => project(problem, stretch, tried, falls), start, falls)
  project(problem, stretch, shape, falls)
  const levelDeg = problem.solution[0] as number
  const creepDegPerS = problem.solution[3] as number
  const holdS = falls ? shape.holdS : (stretch.timeS.at(-1) ?? shape.stopAtS) - shape.stopAtS
  // A die that still creeps up has its top at the hold's end.
  const onS = creepDegPerS > 0 ? holdS : 0
  return {
    peakDeg: (stretch.angleDeg[0] ?? 0) + levelDeg + creepDegPerS * onS,
    peakAtS: shape.stopAtS + onS,
  }
}

function since({ timeS, angleDeg }: Stretch, fromS: number): Stretch {
  const first = Math.max(
    0,
    timeS.findIndex((each) => each >= fromS),
  )
  return { timeS: timeS.slice(first), angleDeg: angleDeg.slice(first) }
}

/** Sum of squared residuals of the best curve of this shape, per point. */
function project(
  problem: LeastSquares,
  { timeS, angleDeg }: Stretch,
  { stopAtS, slowS, holdS, tauS }: Shape,
  falls: boolean,
): number {
  const zeroDeg = angleDeg[0] as number
  const creeps = !falls || holdS >= CREEP_FROM_S
  const row = new Float64Array(COLUMNS)
  row[0] = 1
  clearLeastSquares(problem)
  for (let index = 0; index < timeS.length; index += 1) {
    const sinceS = (timeS[index] as number) - stopAtS
    const fallS = falls ? sinceS - holdS : 0
    const way = sinceS < 0 ? ramp(-sinceS, slowS) : 0
    row[1] = way
    row[2] = way * way
    row[3] = creeps && sinceS > 0 ? (fallS > 0 ? holdS : sinceS) : 0
    row[4] = fallS > 0 ? 1 - Math.exp(-fallS / tauS) : 0
    addRow(problem, row, (angleDeg[index] as number) - zeroDeg)
  }
  return solve(problem)
}

/** Way still to go, per unit of rate, a time before standing still. */
const ramp = (beforeS: number, slowS: number): number =>
  beforeS < slowS ? beforeS ** 2 / (2 * slowS) : beforeS - slowS / 2

type Cost = (shape: Shape) => number

/** A coarse grid, so that the search starts in the right valley. */
function starts(falls: boolean, nearS: number): Shape[] {
  const aheads = falls ? [-0.02, 0, 0.03, 0.08, 0.15, 0.25, 0.4] : [-0.1, 0, 0.05, 0.1]
  const holds = falls ? [0, 0.04, 0.1, 0.2, 0.35, 0.5] : [0]
  const taus = falls ? [0.04, 0.2] : [0.1]
  return aheads.flatMap((aheadS) =>
    holds.flatMap((holdS) =>
      taus.flatMap((tauS) =>
        [0.005, 0.1].map((slowS) => ({ stopAtS: nearS - aheadS, slowS, holdS, tauS })),
      ),
    ),
  )
}

function best(shapes: readonly Shape[], cost: Cost): Shape {
  const costs = shapes.map(cost)
  return shapes[costs.indexOf(Math.min(...costs))] as Shape
}

const FINEST_S = 0.0005
/** A search that still gains after this many rounds gains nothing that could be read. */
const PASSES_MAX = 200

function search(cost: Cost, start: Shape, falls: boolean): Shape {
  let found = start
  let least = cost(found)
  let stepS = 0.02
  for (let pass = 0; pass < PASSES_MAX && stepS > FINEST_S; pass += 1) {
    const enough = least * (1 - 1e-6)
    for (const shape of neighbours(found, stepS, falls)) {
      const now = cost(shape)
      if (now >= least) continue
      least = now
      found = shape
    }
    if (least >= enough) stepS /= 2
  }
  return found
}

/** Steps along each axis, and along the two diagonals where one quantity can stand in for another. */
function neighbours(shape: Shape, stepS: number, falls: boolean): Shape[] {
  const { stopAtS, slowS, holdS, tauS } = shape
  const slower = Math.min(SLOW_MAX_S, slowS + 2 * stepS)
  const faster = Math.max(1e-6, slowS - 2 * stepS)
  const rising = [
    { ...shape, stopAtS: stopAtS + stepS },
    { ...shape, stopAtS: stopAtS - stepS },
    { ...shape, slowS: slower },
    { ...shape, slowS: faster },
    { ...shape, stopAtS: stopAtS + stepS, slowS: slower },
    { ...shape, stopAtS: stopAtS - stepS, slowS: faster },
  ]
  if (!falls) return rising
  const shorter = Math.max(0, holdS - stepS)
  const factor = 1 + 20 * stepS
  return [
    ...rising,
    { ...shape, holdS: holdS + stepS },
    { ...shape, holdS: shorter },
    { ...shape, stopAtS: stopAtS + stepS, holdS: shorter },
    { ...shape, stopAtS: stopAtS - stepS, holdS: holdS + stepS },
    { ...shape, tauS: Math.min(TAU_MAX_S, tauS * factor) },
    { ...shape, tauS: Math.max(TAU_MIN_S, tauS / factor) },
  ]
}
