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
 * What a die does at the end of a stroke, as a curve: it rises, slows evenly to nothing over `slowS` about the
 * knee, stands or creeps back, and falls off exponentially. Everything that enters straight (level, rate
 * and its bend, creep, fall) is solved for by least squares; these four are searched.
 */
interface Shape {
  /** Where the rise, had it not slowed, would have met the level. */
  readonly kneeS: number
  readonly slowS: number
  readonly fallAtS: number
  readonly tauS: number
}

/** Which freedoms a curve is given. What the data do not ask for is left out, or it would be made up. */
interface Model {
  /** Slows down over a time, instead of stopping dead. */
  readonly slows: boolean
  /** Stands before it falls. */
  readonly holds: boolean
  /** Creeps while it stands. */
  readonly creeps: boolean
  readonly falls: boolean
}

const COLUMNS = 5
/** So much of a rise tells its rate; more would bring in how the rate varies with the arm's geometry. */
const RISE_S = 0.4
const SLOW_MAX_S = 0.4
const TAU_MIN_S = 0.01
const TAU_MAX_S = 2

/**
 * The peak under load: the top of the curve that fits best, not the largest sample, which noise lifts and
 * a smoother's lag lowers. Variable projection (G. H. Golub and V. Pereyra, SIAM J. Numer. Anal. 10 (1973)
 * 413–432) with the direct search of R. Hooke and T. A. Jeeves (J. ACM 8 (1961) 212–229); curves of more
 * and less freedom weighted by G. Schwarz's criterion (Ann. Stat. 6 (1978) 461–464). Quoted from memory.
 *
 * @param falls whether the stretch ends in a fall; if not, the die stands still to its end.
 * @param nearS where the top seems to be.
 */
export function fitTurningPoint(whole: Stretch, falls: boolean, nearS: number): TurningPoint {
  const problem = newLeastSquares(COLUMNS)
  const endS = whole.timeS.at(-1) ?? nearS
  const start = best(starts(falls ? null : endS, nearS), (tried) =>
    project(problem, whole, tried, true),
  )
  const stretch = since(whole, start.kneeS - RISE_S)
  const tops = modelsOf(falls).map((model) => fitModel(problem, stretch, start, model))
  return weighted(tops, stretch.timeS.length)
}

function modelsOf(falls: boolean): Model[] {
  const both = [false, true]
  return both.flatMap((slows) =>
    both.flatMap((creeps) =>
      (falls ? both : [true])
        .filter((holds) => holds || !creeps)
        .map((holds) => ({ slows, holds, creeps, falls })),
    ),
  )
}

/**
 * A hold of unknown length counts twice: any length up to half a second would do, and the data narrow it to
 * milliseconds, which is a narrower fit than the criterion's one freedom pays for. Found by trial on traces
 * with and without a short hold.
 */
const HOLD_COUNTS = 2

interface Top extends TurningPoint {
  readonly squares: number
  readonly freedoms: number
}

function fitModel(problem: LeastSquares, stretch: Stretch, start: Shape, model: Model): Top {
  const cost = (shape: Shape) => project(problem, stretch, shape, model.creeps)
  const shape = search(cost, start, model)
  const squares = cost(shape)
  const levelDeg = problem.solution[0] as number
  const creepDegPerS = model.creeps ? (problem.solution[3] as number) : 0
  const stopAtS = stopOf(shape)
  const holdIsFree = model.holds && model.falls
  // A die that still creeps up has its top at the hold's end.
  const onS = creepDegPerS > 0 ? shape.fallAtS - stopAtS : 0
  return {
    peakDeg: (stretch.angleDeg[0] ?? 0) + levelDeg + creepDegPerS * onS,
    peakAtS: stopAtS + onS,
    squares,
    freedoms: Number(model.slows) + Number(model.creeps) + HOLD_COUNTS * Number(holdIsFree),
  }
}

/** Freedoms that every curve has: level, rate and its bend, fall, its start and its time constant. */
const FREEDOMS = 6

function weighted(tops: readonly Top[], points: number): TurningPoint {
  const least = Math.min(...tops.map(({ squares }) => squares))
  const variance = Math.max(least / Math.max(1, points - FREEDOMS - 3), Number.MIN_VALUE)
  let total = 0
  let peakDeg = 0
  let peakAtS = 0
  for (const top of tops) {
    const misfit = (top.squares - least) / variance + top.freedoms * Math.log(points)
    const weight = Math.exp(-misfit / 2)
    total += weight
    peakDeg += weight * top.peakDeg
    peakAtS += weight * top.peakAtS
  }
  return { peakDeg: peakDeg / total, peakAtS: peakAtS / total }
}

/** The stop cannot come after the fall begins: then it slowed over a shorter time. */
const stopOf = ({ kneeS, slowS, fallAtS }: Shape): number => Math.min(kneeS + slowS / 2, fallAtS)

function since({ timeS, angleDeg }: Stretch, fromS: number): Stretch {
  const found = timeS.findIndex((each) => each >= fromS)
  const first = Math.max(0, found)
  return { timeS: timeS.slice(first), angleDeg: angleDeg.slice(first) }
}

/** Sum of squared residuals of the best curve of this shape. */
function project(
  problem: LeastSquares,
  { timeS, angleDeg }: Stretch,
  shape: Shape,
  creeps: boolean,
): number {
  const { kneeS, fallAtS, tauS } = shape
  const stopAtS = stopOf(shape)
  const slowS = 2 * (stopAtS - kneeS)
  const zeroDeg = angleDeg[0] as number
  const holdS = fallAtS - stopAtS
  const { row } = problem
  row[0] = 1
  clearLeastSquares(problem)
  for (let index = 0; index < timeS.length; index += 1) {
    const sinceS = (timeS[index] as number) - stopAtS
    const fallS = sinceS - holdS
    const way = sinceS < 0 ? ramp(-sinceS, slowS) : 0
    row[1] = way
    row[2] = way * way
    row[3] = creeps && sinceS > 0 ? Math.min(sinceS, holdS) : 0
    row[4] = fallS > 0 ? 1 - Math.exp(-fallS / tauS) : 0
    addRow(problem, (angleDeg[index] as number) - zeroDeg)
  }
  return solve(problem)
}

/** Way still to go, per unit of rate, a time before standing still. */
const ramp = (beforeS: number, slowS: number): number =>
  beforeS < slowS ? beforeS ** 2 / (2 * slowS) : beforeS - slowS / 2

type Cost = (shape: Shape) => number

/**
 * A coarse grid, so that the search starts in the right valley.
 * @param endS the end of a stretch that does not fall; null when it does.
 */
function starts(endS: number | null, nearS: number): Shape[] {
  const shapes: Shape[] = []
  for (const aheadS of endS === null ? [0, 0.03, 0.08, 0.15, 0.25, 0.4] : [-0.1, 0, 0.05, 0.1])
    for (const holdS of endS === null ? [0.005, 0.04, 0.1, 0.2, 0.35, 0.5] : [0])
      for (const tauS of endS === null ? [0.04, 0.2] : [0.1])
        for (const slowS of [0.01, 0.1]) {
          const kneeS = nearS - aheadS
          shapes.push({ kneeS, slowS, fallAtS: endS ?? kneeS + holdS, tauS })
        }
  return shapes
}

function best(shapes: readonly Shape[], cost: Cost): Shape {
  const costs = shapes.map(cost)
  return shapes[costs.indexOf(Math.min(...costs))] as Shape
}

const FINEST_S = 0.0005
/** A search that still gains after this many rounds gains nothing that could be read. */
const PASSES_MAX = 200

function search(cost: Cost, start: Shape, model: Model): Shape {
  let found = bound(start, model)
  let least = cost(found)
  let stepS = 0.02
  for (let pass = 0; pass < PASSES_MAX && stepS > FINEST_S; pass += 1) {
    const enough = least * (1 - 1e-6)
    for (const direction of model.falls ? FALLING : RISING) {
      const shape = bound(moved(found, direction, stepS), model)
      const now = cost(shape)
      if (now >= least) continue
      least = now
      found = shape
    }
    if (least >= enough) stepS /= 2
  }
  return found
}

type Direction = readonly [knee: number, slow: number, fall: number, tau: number]

/** Steps along each axis, and along the diagonals where one thing can stand in for another. */
const RISING: readonly Direction[] = [
  [1, 0, 0, 0],
  [-1, 0, 0, 0],
  [0, 1, 0, 0],
  [0, -1, 0, 0],
]
const FALLING: readonly Direction[] = [
  ...RISING,
  [0, 0, 1, 0],
  [0, 0, -1, 0],
  [1, 0, 1, 0],
  [-1, 0, -1, 0],
  [0, 0, 0, 1],
  [0, 0, 0, -1],
  [0, 0, -1, 1],
  [0, 0, 1, -1],
]

function moved(shape: Shape, [knee, slow, fall, tau]: Direction, stepS: number): Shape {
  return {
    kneeS: shape.kneeS + knee * stepS,
    slowS: shape.slowS + 2 * slow * stepS,
    fallAtS: shape.fallAtS + fall * stepS,
    tauS: shape.tauS * (1 + 20 * stepS) ** tau,
  }
}

/** The nearest shape that the model allows. */
function bound(shape: Shape, { slows, holds }: Model): Shape {
  const slowS = slows ? Math.min(SLOW_MAX_S, Math.max(0, shape.slowS)) : 0
  const kneeS = Math.min(shape.kneeS, shape.fallAtS)
  return {
    kneeS: holds ? kneeS : shape.fallAtS - slowS / 2,
    slowS,
    fallAtS: shape.fallAtS,
    tauS: Math.min(TAU_MAX_S, Math.max(TAU_MIN_S, shape.tauS)),
  }
}
