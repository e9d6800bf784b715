import type { Random } from './random.ts'

/** An accelerometer that turns with the die; over its spindle, so that turning brings no acceleration. */
export interface TiltSpec {
  readonly countsPerG: number
  /** Standard deviation of one reading of an axis, g. */
  readonly noiseG: number
  /** Angle at which its axis x lies level, degrees. */
  readonly zeroDeg: number
  /** Lean of the spindle out of the horizontal: 90 for a bender that lies flat. */
  readonly spindleDeg: number
  /** How far it is set askew about its axis x, degrees. */
  readonly askewDeg: number
  /** What its axes show when they lie level, g. */
  readonly offsetG: readonly [x: number, y: number, z: number]
}

/** A common chip: 16,384 counts a g, and 0.63 mg at a bandwidth of 50 Hz, from 70 µg in a root hertz. */
export const TILT_SENSOR: TiltSpec = {
  countsPerG: 16_384,
  noiseG: 0.00063,
  zeroDeg: 0,
  spindleDeg: 0,
  askewDeg: 0,
  offsetG: [0, 0, 0],
}

export interface AxesReading {
  readonly x: number
  readonly y: number
  readonly z: number
}

const rad = (deg: number) => (deg * Math.PI) / 180
/** Axes are sent as 16-bit numbers. */
const counts = (g: number, countsPerG: number) =>
  Math.min(32_767, Math.max(-32_768, Math.round(g * countsPerG)))

/** Reads the die's angle as three axes in counts: x and z in the plane of the swing, y along the spindle. */
export function makeTiltSensor(spec: TiltSpec, random: Random): (dieDeg: number) => AxesReading {
  const { countsPerG, noiseG, zeroDeg, spindleDeg, askewDeg, offsetG } = spec
  const [inPlaneG, alongG] = [Math.cos(rad(spindleDeg)), -Math.sin(rad(spindleDeg))]
  const [cosAskew, sinAskew] = [Math.cos(rad(askewDeg)), Math.sin(rad(askewDeg))]
  return (dieDeg) => {
    const turnRad = rad(dieDeg - zeroDeg)
    const upG = inPlaneG * Math.cos(turnRad)
    const [xG, yG, zG] = [
      inPlaneG * Math.sin(turnRad),
      upG * sinAskew + alongG * cosAskew,
      upG * cosAskew - alongG * sinAskew,
    ]
    const read = (g: number, offset: number) =>
      counts(g + offset + noiseG * random.normal(), countsPerG)
    return { x: read(xG, offsetG[0]), y: read(yG, offsetG[1]), z: read(zG, offsetG[2]) }
  }
}
