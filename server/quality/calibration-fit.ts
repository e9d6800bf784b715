import {
  type CalibrationCurve,
  CURVES,
  type CurveKind,
  HARMONICS_OF,
  harmonicsAt,
} from './calibration-curve.ts'
import {
  type CalibrationAsk,
  type CalibrationPoint,
  checkFit,
  checkPoints,
} from './calibration-points.ts'
import { CalibrationRefused } from './calibration-refused.ts'
import { fitLinear, type LinearFit, leaveOneOut, spreadOf } from './linear-fit.ts'

export interface CalibrationFit extends CalibrationCurve {
  readonly curve: CurveKind
  /** Known angle less curve, a point each. */
  readonly residualsDeg: readonly number[]
  /** Root mean square of what each point is off the curve through the others; null with none to spare. */
  readonly leaveOneOutDeg: number | null
  readonly residualSdDeg: number | null
  /** Points less unknowns. */
  readonly degreesOfFreedom: number
  readonly condition: number
  /** Span of the known angles. */
  readonly spanDeg: number
  /** Standard uncertainty that the calibration gives an angle so far from a datum at its first point. */
  standardAt(angleDeg: number): number
}

/** Below six points a turn's errors fit anything: common practice, no source. */
const POINTS_FOR_HARMONICS = 6
/** A condition number of 1000 costs three of the digits of the gauge: it has no more. */
const CONDITION_MAX = 1000
/** A richer curve must foretell left-out points by a fifth better; a millidegree is good enough anyhow. */
const CLEARLY_BETTER = 0.8
const GOOD_ENOUGH_DEG = 0.001

interface Candidate {
  readonly curve: CurveKind
  readonly fit: LinearFit
  readonly leaveOneOutDeg: number | null
}

/** About the middle of the readouts, so that a counter far from 0 does not spoil the condition. */
const middleOf = (points: readonly CalibrationPoint[]) =>
  points.reduce((sum, { readoutDeg }) => sum + readoutDeg, 0) / points.length

const rowAt = (readoutDeg: number, middleDeg: number, curve: CurveKind) => [
  1,
  readoutDeg - middleDeg,
  ...harmonicsAt(readoutDeg, HARMONICS_OF[curve]),
]

function candidate(points: readonly CalibrationPoint[], curve: CurveKind): Candidate | null {
  const middleDeg = middleOf(points)
  const fit = fitLinear(
    points.map(({ readoutDeg }) => rowAt(readoutDeg, middleDeg, curve)),
    points.map(({ knownDeg }) => knownDeg),
  )
  return fit && { curve, fit, leaveOneOutDeg: leaveOneOut(fit) }
}

function asked(points: readonly CalibrationPoint[], curve: CurveKind): Candidate {
  if (curve !== 'line' && points.length < POINTS_FOR_HARMONICS)
    throw new CalibrationRefused('FEW_FOR_CURVE', {
      points: points.length,
      least: POINTS_FOR_HARMONICS,
    })
  const found = candidate(points, curve)
  const condition = found?.fit.condition ?? Infinity
  if (found === null || !(condition <= CONDITION_MAX || curve === 'line'))
    throw new CalibrationRefused('ILL_CONDITIONED', { condition })
  return found
}

/** The plainest curve that no richer one clearly beats. */
function best(points: readonly CalibrationPoint[]): Candidate {
  const line = asked(points, 'line')
  if (points.length < POINTS_FOR_HARMONICS) return line
  return CURVES.slice(1).reduce((held, curve) => {
    const hasSpare = points.length > 2 + 2 * HARMONICS_OF[curve]
    const richer = hasSpare ? candidate(points, curve) : null
    return richer !== null && beats(richer, held) ? richer : held
  }, line)
}

function beats({ fit, leaveOneOutDeg }: Candidate, held: Candidate): boolean {
  if (leaveOneOutDeg === null || !(fit.condition <= CONDITION_MAX)) return false
  const heldDeg = held.leaveOneOutDeg ?? Infinity
  return heldDeg > GOOD_ENOUGH_DEG && leaveOneOutDeg < CLEARLY_BETTER * heldDeg
}

/** Standard uncertainty of one point where the residuals do not tell it: gauge and readout. */
function pointStandardDeg(points: readonly CalibrationPoint[]): number {
  const squares = points.map((point) => point.standardDeg ** 2 + point.readoutSdDeg ** 2)
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / points.length)
}

function curveOf({ fit }: Candidate, middleDeg: number): CalibrationCurve {
  const [atMiddleDeg = 0, scale = 0, ...weights] = fit.coefficients
  const harmonics = Array.from({ length: weights.length / 2 }, (_, k) => ({
    cosDeg: weights[2 * k] ?? 0,
    sinDeg: weights[2 * k + 1] ?? 0,
  }))
  return { scale, offsetDeg: atMiddleDeg - scale * middleDeg, harmonics }
}

/**
 * Scale and offset from two points, least squares from three, and from six also the once- and twice-per-turn
 * errors of an eccentric encoder, each in the readout.
 *
 * The uncertainty of an angle is that of a difference, since a datum is taken off: with points to spare that
 * of a new point (s² (1 + dᵀ(XᵀX)⁻¹d), Draper and Smith, Applied Regression Analysis, 1.4; from memory),
 * without any that of the curve, from the gauge.
 *
 * @throws CalibrationRefused with one sentence; nothing is fitted by halves.
 */
export function fitCalibration(ask: CalibrationAsk): CalibrationFit {
  const { points, curve } = ask
  const spanDeg = checkPoints(ask)
  if (!ask.hasFixedZero && curve !== 'auto' && curve !== 'line')
    throw new CalibrationRefused('NO_FIXED_ZERO', {})
  const wanted = curve === 'auto' && !ask.hasFixedZero ? 'line' : curve
  const chosen = wanted === 'auto' ? best(points) : asked(points, wanted)
  const middleDeg = middleOf(points)
  const made = curveOf(chosen, middleDeg)
  const { fit } = chosen
  checkFit(ask, { residualsDeg: fit.residuals, scale: made.scale, spanDeg })
  const firstDeg = Math.min(...points.map(({ readoutDeg }) => readoutDeg))
  const first = rowAt(firstDeg, middleDeg, chosen.curve)
  return {
    ...made,
    curve: chosen.curve,
    residualsDeg: fit.residuals,
    leaveOneOutDeg: chosen.leaveOneOutDeg,
    residualSdDeg: fit.residualSd,
    degreesOfFreedom: fit.degreesOfFreedom,
    condition: fit.condition,
    spanDeg,
    standardAt(angleDeg) {
      const there = rowAt(firstDeg + angleDeg / made.scale, middleDeg, chosen.curve)
      const spread = spreadOf(
        fit,
        there.map((column, i) => column - (first[i] ?? 0)),
      )
      if (fit.residualSd === null) return pointStandardDeg(points) * spread
      return fit.residualSd * Math.hypot(1, spread)
    },
  }
}
