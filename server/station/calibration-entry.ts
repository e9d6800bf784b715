import type { CalibrationShare } from '../bend/uncertainty.ts'
import type { CalibrationParameters } from '../blocks/calibration.ts'
import type { Calibration, CalibrationAsk, CalibrationFit } from '../messages/readout.ts'
import { asFoundDeg } from '../quality/as-found.ts'
import { fitCalibration } from '../quality/calibration-fit.ts'
import { CalibrationRefused } from '../quality/calibration-refused.ts'
import { Refused } from '../web/station-door.ts'
import { millionths } from './coach.ts'

const TURN_DEG = 360
/** From 0 on, in so many steps, the uncertainty of a curve is told. */
const TOLD_ANGLES = 6

const rounded = (value: number | null) => (value === null ? null : millionths(value))

/** Standard deviation of the readout standing still, over all points. */
function pooledSdDeg({ points }: Pick<CalibrationAsk, 'points'>): number {
  const squares = points.reduce((sum, { readoutSdDeg }) => sum + readoutSdDeg ** 2, 0)
  return millionths(Math.sqrt(squares / points.length))
}

/**
 * The curve through the points, as it is entered in the log: numbers to a millionth of a degree.
 * @throws Refused `calibration-refused` with one sentence.
 */
export function fitOf(ask: CalibrationAsk, hasFixedZero: boolean): CalibrationFit {
  try {
    const { points, toleranceDeg, curve = 'auto' } = ask
    const fit = fitCalibration({ points, toleranceDeg, curve, hasFixedZero })
    return {
      curve: fit.curve,
      turnDeg: millionths(fit.scale * TURN_DEG),
      offsetDeg: millionths(fit.offsetDeg),
      harmonics: fit.harmonics.map(({ cosDeg, sinDeg }) => ({
        cosDeg: millionths(cosDeg),
        sinDeg: millionths(sinDeg),
      })),
      points: points.map((point, i) => ({
        ...point,
        residualDeg: millionths(fit.residualsDeg[i] ?? 0),
      })),
      residualSdDeg: rounded(fit.residualSdDeg),
      leaveOneOutDeg: rounded(fit.leaveOneOutDeg),
      sparePoints: fit.degreesOfFreedom,
      condition: Math.ceil(fit.condition),
      spanDeg: millionths(fit.spanDeg),
      repeatSdDeg: pooledSdDeg(ask),
      gaugeStandardDeg: Math.max(...points.map(({ standardDeg }) => standardDeg)),
      uncertainty: Array.from({ length: TOLD_ANGLES + 1 }, (_, i) => {
        const atDeg = millionths((fit.spanDeg * i) / TOLD_ANGLES)
        return { atDeg, standardDeg: millionths(fit.standardAt(atDeg)) }
      }),
    }
  } catch (error) {
    if (error instanceof CalibrationRefused) throw new Refused('calibration-refused', error.message)
    throw error
  }
}

/** How far the readout was off before, by the same points; nothing where nobody had calibrated it, or of one point. */
export function asFoundIn(
  { points }: Pick<CalibrationAsk, 'points'>,
  before: Calibration | null,
): Pick<Calibration, 'asFound'> {
  if (before === null) return {}
  const worstDeg = rounded(asFoundDeg(points, { ...before, scale: before.turnDeg / TURN_DEG }))
  return worstDeg === null ? {} : { asFound: { calibration: before.id, worstDeg } }
}

/** What the chain needs of a calibration; the rounded numbers, as they stand in the log. */
export function parametersOf({ turnDeg, harmonics }: Calibration): CalibrationParameters {
  const [once, twice] = harmonics
  return {
    scale: turnDeg / TURN_DEG,
    onceCosDeg: once?.cosDeg ?? 0,
    onceSinDeg: once?.sinDeg ?? 0,
    twiceCosDeg: twice?.cosDeg ?? 0,
    twiceSinDeg: twice?.sinDeg ?? 0,
  }
}

/** Uncertainty of the curve at an angle: between told angles a straight line, beyond them in proportion. */
function fitStandardDeg({ uncertainty }: Calibration, angleDeg: number): number {
  const sizeDeg = Math.abs(angleDeg)
  const next = uncertainty.findIndex(({ atDeg }) => atDeg >= sizeDeg)
  const to = uncertainty.at(next)
  if (to === undefined) return 0
  if (next < 0) return (to.standardDeg * sizeDeg) / to.atDeg
  const from = uncertainty[next - 1]
  if (from === undefined) return to.standardDeg
  const share = (sizeDeg - from.atDeg) / (to.atDeg - from.atDeg)
  return from.standardDeg + share * (to.standardDeg - from.standardDeg)
}

/** What a calibration adds to the uncertainty of an angle so far from the datum. */
export const shareOf = (calibration: Calibration, angleDeg: number): CalibrationShare => ({
  fitStandardDeg: fitStandardDeg(calibration, angleDeg),
  degreesOfFreedom: calibration.sparePoints,
  gaugeStandardDeg: calibration.gaugeStandardDeg,
  repeatSdDeg: calibration.repeatSdDeg,
})
