import { type CalibrationCurve, curveAt } from './calibration-curve.ts'

interface Point {
  readonly readoutDeg: number
  readonly knownDeg: number
}

const AS_IT_CAME: CalibrationCurve = { scale: 1, offsetDeg: 0, harmonics: [] }

/**
 * How far the readout was off at known angles before it was adjusted: what the calibration until then made of it, less the
 * known angle. A datum takes the mean off, so that only what differs from angle to angle counts.
 *
 * @param before The calibration in force until now; null: none, and degrees were taken as they came.
 * @returns Degrees, the largest of the points by size, with its sign; null where there are fewer than two points.
 */
export function asFoundDeg(
  points: readonly Point[],
  before: CalibrationCurve | null,
): number | null {
  if (points.length < 2) return null
  const off = points.map(
    ({ readoutDeg, knownDeg }) => curveAt(before ?? AS_IT_CAME, readoutDeg) - knownDeg,
  )
  const mean = off.reduce((sum, each) => sum + each, 0) / off.length
  return off
    .map((each) => each - mean)
    .reduce((worst, each) => (Math.abs(each) > Math.abs(worst) ? each : worst), 0)
}
