import type { CurveKind } from './calibration-curve.ts'
import { CalibrationRefused } from './calibration-refused.ts'

/** One known angle and what the readout showed there. Degrees. */
export interface CalibrationPoint {
  /** Mean readout before any calibration and before a datum. */
  readonly readoutDeg: number
  /** Standard deviation of that readout while it stood still; 0 if it is not known. */
  readonly readoutSdDeg: number
  readonly knownDeg: number
  /** Standard uncertainty of the known angle: the gauge's, more than 0. */
  readonly standardDeg: number
}

export interface CalibrationAsk {
  readonly points: readonly CalibrationPoint[]
  /** The narrowest tolerance that the readout shall serve, either way, degrees. */
  readonly toleranceDeg: number
  /** `auto`: a richer curve only where it foretells a left-out point clearly better. */
  readonly curve: CurveKind | 'auto'
  /** Whether readout 0 is the same place after a restart: only then can a turn's errors be placed. */
  readonly hasFixedZero: boolean
}

/** More than anyone reads off a gauge in one go; a bound on the work of a request. */
const POINTS_MAX = 100
/** A scale from closer points is worth less than the counts of the encoder: judgement. */
const SPAN_LEAST_DEG = 10
/** Nobody gears a sensor down a hundredfold: such a readout did not move. */
const SCALE_LEAST = 0.01
/** Coverage of a gauge's certificate, and of the tolerance it is held against. */
const GAUGE_COVERAGE = 2
/** One reading in 16,000 of a good gauge is further off than four standard uncertainties. */
const OFF_STANDARDS_MAX = 4

const rangeOf = (values: readonly number[]) => Math.max(...values) - Math.min(...values)

function isWhole({ readoutDeg, readoutSdDeg, knownDeg, standardDeg }: CalibrationPoint): boolean {
  const areFinite = [readoutDeg, readoutSdDeg, knownDeg, standardDeg].every(Number.isFinite)
  return areFinite && readoutSdDeg >= 0 && standardDeg > 0
}

/**
 * Whether these points can make a calibration at all.
 *
 * @returns the span of the known angles, degrees.
 * @throws CalibrationRefused
 */
export function checkPoints({ points, toleranceDeg }: CalibrationAsk): number {
  if (!(points.length >= 2)) throw new CalibrationRefused('TOO_FEW', { points: points.length })
  if (!(points.length <= POINTS_MAX))
    throw new CalibrationRefused('TOO_MANY', { points: points.length, most: POINTS_MAX })
  const broken = points.findIndex((point) => !isWhole(point))
  if (broken >= 0) throw new CalibrationRefused('NO_NUMBER', { point: broken + 1 })
  const gaugeDeg = GAUGE_COVERAGE * Math.max(...points.map(({ standardDeg }) => standardDeg))
  if (!(gaugeDeg <= toleranceDeg)) throw new CalibrationRefused('GAUGE', { gaugeDeg, toleranceDeg })
  const spanDeg = rangeOf(points.map(({ knownDeg }) => knownDeg))
  if (!(spanDeg >= SPAN_LEAST_DEG))
    throw new CalibrationRefused('SPAN', { spanDeg, leastDeg: SPAN_LEAST_DEG })
  const movedDeg = rangeOf(points.map(({ readoutDeg }) => readoutDeg))
  if (!(movedDeg >= SCALE_LEAST * spanDeg))
    throw new CalibrationRefused('SCALE_ZERO', { movedDeg, spanDeg })
  return spanDeg
}

interface Fitted {
  readonly residualsDeg: readonly number[]
  readonly scale: number
  readonly spanDeg: number
}

/**
 * Whether the curve through them agrees with them, and goes the right way.
 *
 * @throws CalibrationRefused
 */
export function checkFit({ points, toleranceDeg }: CalibrationAsk, fitted: Fitted): void {
  const { residualsDeg, scale, spanDeg } = fitted
  for (const [i, { standardDeg, readoutSdDeg }] of points.entries()) {
    const offDeg = Math.abs(residualsDeg[i] ?? 0)
    const isWorst = residualsDeg.every((other) => Math.abs(other) <= offDeg)
    const mostDeg = Math.max(
      toleranceDeg,
      OFF_STANDARDS_MAX * Math.hypot(standardDeg, readoutSdDeg),
    )
    if (isWorst && !(offDeg <= mostDeg))
      throw new CalibrationRefused('CONTRADICTION', { point: i + 1, offDeg, mostDeg })
  }
  if (scale < 0) throw new CalibrationRefused('REVERSED', { spanDeg })
  if (!(scale >= SCALE_LEAST))
    throw new CalibrationRefused('SCALE_ZERO', { movedDeg: scale * spanDeg, spanDeg })
}
