import { addRow, clearLeastSquares, damp, newLeastSquares, solve } from './least-squares.ts'

/** A stretch of the trace about the end of a stroke. */
export interface Stretch {
  readonly timeS: readonly number[]
  readonly angleDeg: readonly number[]
}

/** Which freedoms a curve is given. What the data do not ask for is left out, or it would be made up. */
export interface Model {
  /** Slows down over a time, instead of stopping dead. */
  readonly slows: boolean
  /** Stands before it falls. */
  readonly holds: boolean
  /** Creeps while it stands. */
  readonly creeps: boolean
  readonly falls: boolean
}

/** When a die does what at the end of a stroke, seconds. */
export interface Shape {
  readonly stopS: number
  /** So long before the stop its rate falls evenly to nothing. */
  readonly slowS: number
  readonly fallAtS: number
  readonly tauS: number
}

/** A shape with all that enters straight, as least squares have it; degrees. */
export interface Curve extends Shape {
  /** Where it stops, from the first sample of the stretch. */
  readonly levelDeg: number
  /** Falling short by this, degrees, for a way still to go of one second; and by this for its square. */
  readonly rate: number
  readonly bend: number
  readonly creepDeg: number
  readonly fallDeg: number
  /** Sum of squared residuals. */
  readonly squares: number
}

/**
 * A tube under load gives way fast at first and ever more slowly. Of time constants from 0.1 s to 1 s this middle
 * one misses the top of a tube that creeps by 0.15° by 0.035° at most, straight creep by 0.05° and more.
 */
const CREEP_TAU_S = 0.3

/**
 * What is usual, against a usual noise of 0.03°, as rows of the problem: it counts where the data say next to
 * nothing. A tube creeps by 0.1° or so, and the rate changes by 10 °/s in a second or so, as the arm's geometry
 * makes it do (common practice, no source).
 */
const CREEP_WEIGHT = 0.03 / 0.1
export const BEND_WEIGHT = 0.03 / 10

const SLOW_MIN_S = 0.005
const SLOW_MAX_S = 0.4
const TAU_MIN_S = 0.01
const TAU_MAX_S = 2

/** Columns of the whole problem: the straight five, then stop, slowing, fall, and the logarithm of τ. */
const STRAIGHT = 5
const COLUMNS = 9

/** Tells how well curves of a model fit the samples of a stretch from number `first` on. */
export function curveFitter({ timeS, angleDeg }: Stretch, first: number, model: Model) {
  const zeroDeg = angleDeg[0] as number
  const straight = newLeastSquares(STRAIGHT)
  const whole = newLeastSquares(COLUMNS)

  /** The best curve of a shape, or of the nearest that the model allows. */
  function project(wanted: Shape): Curve {
    const shape = bound(wanted, model)
    const { row, solution } = straight
    clearLeastSquares(straight)
    row.fill(0)
    row[2] = BEND_WEIGHT
    addRow(straight, 0)
    row[2] = 0
    row[3] = CREEP_WEIGHT
    addRow(straight, 0)
    row[0] = 1
    for (let index = first; index < timeS.length; index += 1) {
      const atS = timeS[index] as number
      const way = atS < shape.stopS ? wayBefore(shape.stopS - atS, shape.slowS) : 0
      row[1] = way
      row[2] = way * way
      row[3] = model.creeps ? 1 - creepLeft(shape, atS) : 0
      row[4] = 1 - fallLeft(shape, atS)
      addRow(straight, (angleDeg[index] as number) - zeroDeg)
    }
    const squares = solve(straight)
    const [levelDeg = 0, rate = 0, bend = 0, creepDeg = 0, fallDeg = 0] = solution
    return { ...shape, levelDeg, rate, bend, creepDeg, fallDeg, squares }
  }

  /** Where the curve's derivatives point to, held back by the damping. */
  function step(curve: Curve, damping: number): Shape {
    const { row, solution } = whole
    clearLeastSquares(whole)
    row.fill(0)
    row[2] = BEND_WEIGHT
    addRow(whole, -BEND_WEIGHT * curve.bend)
    row[2] = 0
    row[3] = CREEP_WEIGHT
    addRow(whole, -CREEP_WEIGHT * curve.creepDeg)
    for (let index = first; index < timeS.length; index += 1) {
      const atS = timeS[index] as number
      const fittedDeg =
        atS < curve.stopS
          ? derivativesOfRise(row, curve, model, atS)
          : derivativesAfter(row, curve, model, atS)
      addRow(whole, (angleDeg[index] as number) - zeroDeg - fittedDeg)
    }
    damp(whole, STRAIGHT, damping)
    solve(whole)
    return {
      stopS: curve.stopS + (solution[5] as number),
      slowS: curve.slowS + (solution[6] as number),
      fallAtS: curve.fallAtS + (solution[7] as number),
      tauS: curve.tauS * Math.exp(clamp(solution[8] as number, -1, 1)),
    }
  }

  return { project, step }
}

function bound({ stopS, slowS, fallAtS, tauS }: Shape, { slows, holds, falls }: Model): Shape {
  const standsToS = falls ? Math.max(stopS, fallAtS) : fallAtS
  return {
    stopS,
    slowS: slows ? clamp(slowS, SLOW_MIN_S, SLOW_MAX_S) : 0,
    fallAtS: holds ? standsToS : stopS,
    tauS: clamp(tauS, TAU_MIN_S, TAU_MAX_S),
  }
}

const clamp = (value: number, least: number, most: number): number =>
  Math.min(most, Math.max(least, value))

/** Way still to go, per unit of rate, a time before standing still; seconds. */
export const wayBefore = (beforeS: number, slowS: number): number =>
  beforeS < slowS ? beforeS ** 2 / (2 * slowS) : beforeS - slowS / 2

/** Share of the creep that is still to come. */
const creepLeft = ({ stopS, fallAtS }: Shape, atS: number): number =>
  atS > stopS ? Math.exp((stopS - Math.min(atS, fallAtS)) / CREEP_TAU_S) : 1

/** Share of the fall that is still to come. */
const fallLeft = ({ fallAtS, tauS }: Shape, atS: number): number =>
  atS > fallAtS ? Math.exp((fallAtS - atS) / tauS) : 1

/** How much of its creep, degrees, a curve has behind it when the fall begins. */
export const creptDeg = (curve: Curve): number =>
  curve.creepDeg * (1 - creepLeft(curve, curve.fallAtS))

/** Writes the row for a time before the stop. @returns the curve's own value, degrees. */
function derivativesOfRise(row: Float64Array, curve: Curve, model: Model, atS: number): number {
  const { stopS, slowS, levelDeg, rate, bend } = curve
  const beforeS = stopS - atS
  const way = wayBefore(beforeS, slowS)
  const slope = rate + 2 * bend * way
  const share = beforeS < slowS ? beforeS / slowS : 1
  row.fill(0)
  row[0] = 1
  row[1] = way
  row[2] = way * way
  row[5] = slope * share
  row[6] = model.slows ? (-slope * share * share) / 2 : 0
  return levelDeg + rate * way + bend * way * way
}

/** Writes the row for a time at or after the stop. @returns the curve's own value, degrees. */
function derivativesAfter(row: Float64Array, curve: Curve, model: Model, atS: number): number {
  const { fallAtS, tauS, levelDeg, creepDeg, fallDeg } = curve
  const creep = model.creeps ? creepLeft(curve, atS) : 1
  const fall = fallLeft(curve, atS)
  const fallen = atS > fallAtS
  const creepRate = model.creeps ? (creepDeg * creep) / CREEP_TAU_S : 0
  const byFallAt = fallen ? creepRate - (fallDeg * fall) / tauS : 0
  row.fill(0)
  row[0] = 1
  row[3] = 1 - creep
  row[4] = 1 - fall
  // A die that does not stand begins to fall when it stops.
  row[5] = model.holds ? -creepRate : byFallAt
  row[7] = model.holds ? byFallAt : 0
  row[8] = fallen ? (-fallDeg * fall * (atS - fallAtS)) / tauS : 0
  return levelDeg + creepDeg * (1 - creep) + fallDeg * (1 - fall)
}
