import { PLANE_LEAST_G } from '../blocks/tilt.ts'
import type { SignedAxis, TiltAxes } from '../messages/sensor.ts'
import type { Axes } from '../quality/accelerometer-fit.ts'

/** Axes in the plane of the swing when the set-up names none: those of a board that lies on its long edge. */
export const STANDARD_AXES: TiltAxes = { sine: '+x', cosine: '+z' }

const sizeOf = (seen: Axes, axis: SignedAxis) =>
  ({ x: seen.xG, y: seen.yG, z: seen.zG })[axis[1] as 'x' | 'y' | 'z']

export interface InPlane {
  /** Gravity in the plane of the swing, g. */
  readonly planeG: number
  /** Angle of gravity out of that plane, degrees. */
  readonly leanDeg: number
}

/** How much of gravity lies in the plane of two axes, by a sensor at rest. */
export function inPlaneOf(seen: Axes, { sine, cosine }: TiltAxes): InPlane {
  const planeG = Math.hypot(sizeOf(seen, sine), sizeOf(seen, cosine))
  const wholeG = Math.hypot(seen.xG, seen.yG, seen.zG)
  return { planeG, leanDeg: (Math.acos(Math.min(1, planeG / wholeG)) * 180) / Math.PI }
}

/** The same for a spindle that leans out of the horizontal, under a sensor that sits true on it. */
export const inPlaneUnder = (spindleDeg: number): InPlane => ({
  planeG: Math.cos((spindleDeg * Math.PI) / 180),
  leanDeg: spindleDeg,
})

/** Whether an angle can be had from gravity there. */
export const swingsUpright = ({ planeG }: InPlane): boolean => planeG >= PLANE_LEAST_G

/** Why not, as the middle of a sentence. */
export const tooFlat = ({ planeG }: InPlane): string =>
  `only ${planeG.toFixed(2)} g of gravity lies in the plane of the swing, ` +
  `and ${PLANE_LEAST_G} g is the least`
