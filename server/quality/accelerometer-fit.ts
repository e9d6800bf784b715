import { CalibrationRefused } from './calibration-refused.ts'

/** What three axes show while the sensor stands still, in g as the board's scale has it. */
export interface Axes {
  readonly xG: number
  readonly yG: number
  readonly zG: number
}

/** What one axis makes of gravity: it shows `offsetG` lying, `offsetG ± unitG` upright. */
export interface AxisCalibration {
  readonly offsetG: number
  readonly unitG: number
}

/** The axes x, y, z in this order. */
export type AccelerometerCalibration = readonly [AxisCalibration, AxisCalibration, AxisCalibration]

const POSITIONS = 6
/** Offsets of two axes by 0.15 g, as such chips come, look like a lean of 14°; more is a side not stood on. */
export const SKEW_MAX_DEG = 20
/** Sensitivities of such chips are within a few per cent, offsets within 0.15 g; half of 1 g is another scale. */
const UNIT_LEAST_G = 0.5
const UNIT_MOST_G = 2

type Triple = readonly [number, number, number]
const tripleOf = ({ xG, yG, zG }: Axes): Triple => [xG, yG, zG]
const AXES = [0, 1, 2] as const

/** Which axis stands upright and which way: 0 to 5. */
function sideOf(position: Triple, number: number): number {
  const sizes = position.map(Math.abs)
  const upright = AXES.reduce((best, axis) => {
    return (sizes[axis] ?? 0) > (sizes[best] ?? 0) ? axis : best
  }, 0)
  const lying = sizes.filter((_, axis) => axis !== upright)
  const skewDeg = (Math.atan2(Math.hypot(...lying), sizes[upright] ?? 0) * 180) / Math.PI
  if (!(skewDeg <= SKEW_MAX_DEG))
    throw new CalibrationRefused('POSITION_SKEW', { position: number, skewDeg })
  return 2 * upright + ((position[upright] ?? 0) < 0 ? 1 : 0)
}

function axisOf(bySide: ReadonlyMap<number, Triple>, axis: 0 | 1 | 2): AxisCalibration {
  const up = bySide.get(2 * axis)?.[axis] ?? Number.NaN
  const down = bySide.get(2 * axis + 1)?.[axis] ?? Number.NaN
  const unitG = (up - down) / 2
  if (!(unitG >= UNIT_LEAST_G && unitG <= UNIT_MOST_G))
    throw new CalibrationRefused('AXIS_GAIN', { axis: axis + 1, unitG })
  return { offsetG: (up + down) / 2, unitG }
}

/**
 * Offset and gain of each axis from the sensor standing on its six sides, in any order: half the sum and half
 * the difference of what it shows upright and upside down (the two-position method of Analog Devices AN-1057,
 * from memory).
 *
 * @throws CalibrationRefused `POSITIONS`, `NO_NUMBER`, `POSITION_SKEW`, `POSITION_TWICE`, `AXIS_GAIN`
 */
export function fitSixPositions(positions: readonly Axes[]): AccelerometerCalibration {
  if (positions.length !== POSITIONS)
    throw new CalibrationRefused('POSITIONS', { positions: positions.length })
  const bySide = new Map<number, Triple>()
  const numbers = new Map<number, number>()
  for (const [i, position] of positions.map(tripleOf).entries()) {
    if (!position.every(Number.isFinite))
      throw new CalibrationRefused('NO_NUMBER', { point: i + 1 })
    const side = sideOf(position, i + 1)
    const earlier = numbers.get(side)
    if (earlier !== undefined)
      throw new CalibrationRefused('POSITION_TWICE', { position: i + 1, earlier })
    numbers.set(side, i + 1)
    bySide.set(side, position)
  }
  return [axisOf(bySide, 0), axisOf(bySide, 1), axisOf(bySide, 2)]
}
