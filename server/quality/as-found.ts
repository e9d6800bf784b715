import { type CalibrationCurve, curveAt } from './calibration-curve.ts'

interface Point {
  readonly readoutDeg: number
  readonly knownDeg: number
}

/**
 * How far the readout was off at known angles before it was adjusted: what the calibration until then made of it, less the
 * known angle. A datum takes off what it is off at the datum, so that counts from the point nearest to 0 known.
 *
 * @param before The calibration in force until now.
 * @returns Degrees, the largest of the points by size, with its sign; null where there are fewer than two points.
 */
export function asFoundDeg(points: readonly Point[], before: CalibrationCurve): number | null {
  if (points.length < 2) return null
  const offAt = ({ readoutDeg, knownDeg }: Point) => curveAt(before, readoutDeg) - knownDeg
  const datum = points.reduce((nearest, point) =>
    Math.abs(point.knownDeg) < Math.abs(nearest.knownDeg) ? point : nearest,
  )
  const atDatum = offAt(datum)
  return points
    .map((point) => offAt(point) - atDatum)
    .reduce((worst, each) => (Math.abs(each) > Math.abs(worst) ? each : worst), 0)
}
