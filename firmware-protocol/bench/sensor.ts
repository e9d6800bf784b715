import type { Random } from './random.ts'

export interface SensorSpec {
  /** `incremental` counts from where it was switched on; `absolute` knows its place in the turn. */
  readonly kind: 'incremental' | 'absolute'
  readonly countsPerTurn: number
  /** Standard deviation of one reading, degrees. */
  readonly noiseDeg: number
  /** Die angle at which the sensor reads zero, degrees. */
  readonly zeroDeg: number
  /** Once-per-turn error of an encoder that sits off centre, degrees. */
  readonly eccentricityDeg: number
}

export const ENCODER: SensorSpec = {
  kind: 'incremental',
  countsPerTurn: 16_384,
  noiseDeg: 0.025,
  zeroDeg: 0,
  eccentricityDeg: 0,
}

/** Reads a die angle in degrees as whole counts, the way the board sends them. */
export type ReadCounts = (dieDeg: number) => number

export function makeSensor(spec: SensorSpec, random: Random): ReadCounts {
  const { kind, countsPerTurn, noiseDeg, zeroDeg, eccentricityDeg } = spec
  if (!(Number.isInteger(countsPerTurn) && countsPerTurn >= 4))
    throw new RangeError(`countsPerTurn must be a whole number from 4, got ${countsPerTurn}.`)
  return function readCounts(dieDeg) {
    const turnDeg = dieDeg - zeroDeg
    const errorDeg = eccentricityDeg * Math.sin((turnDeg * Math.PI) / 180)
    const seenDeg = turnDeg + errorDeg + noiseDeg * random.normal()
    const counts = Math.floor((seenDeg / 360) * countsPerTurn + 0.5)
    if (kind === 'incremental') return counts | 0
    return ((counts % countsPerTurn) + countsPerTurn) % countsPerTurn
  }
}
