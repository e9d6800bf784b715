import { describe, expect, test } from 'vitest'
import { PLANE_LEAST_G, tilt } from '../../server/blocks/tilt.ts'
import { BAD } from '../../server/chain/column.ts'
import { oneBlock } from '../unit/server/blocks/one-block.ts'

/** So many counts a g that rounding is below all digits of a table. */
const FINE = 1e9
const rad = (deg: number) => (deg * Math.PI) / 180
const angleOf = (x: number, y: number, z: number, countsPerG = FINE) => {
  const scale = countsPerG === FINE ? FINE : 1
  const given = { x: x * scale, y: y * scale, z: z * scale, countsPerG }
  return oneBlock(tilt, { sine: '+x', cosine: '+y' }).feed([given])[0]
}

/** Analog Devices AN-1057 (C. J. Fisher), formulas from memory: roll is atan2 of y and z. */
test('the worked example of three axes', () => {
  const given = { x: 0.3 * FINE, y: -0.4 * FINE, z: 0.8660254037844386 * FINE, countsPerG: FINE }
  const [row] = oneBlock(tilt, { sine: '+y', cosine: '+z' }).feed([given])
  expect(row?.value).toBeCloseTo(-24.791280897, 8)
})

/** Sensitivity 0.061 mg a count, as on page 10 of the data sheet DS12140 rev 2 of a common chip. */
describe('whole counts of a 16-bit chip', () => {
  const PER_G = Math.round(1000 / 0.061)
  test.each([
    [286, 16_391, 0.9996297],
    [2847, 16_144, 10.0012984],
    [8197, 14_197, 30.0010843],
    [11_592, 11_592, 45],
    [14_197, 8197, 59.9989157],
    [16_391, 286, 89.0003703],
    [14_197, -8197, 120.0010843],
    [0, -16_393, 180],
  ])('(%i, %i)', (x, y, deg) => {
    expect(angleOf(x, y, 0, PER_G)?.value).toBeCloseTo(deg, 6)
  })
})

/** By hand calculation, from the definition of the arc tangent: what 20 mg on the axes does. */
describe('an offset of 20 mg turns the angle', () => {
  test.each([
    [0, 1.14576, 1.1233],
    [10, 1.12446, 0.9084],
    [30, 0.98247, 0.40827],
    [45, 0.79893, 0],
    [60, 0.56318, -0.40827],
    [80, 0.19514, -0.9084],
    [85, 0.09792, -1.01948],
    [90, 0, -1.1233],
  ])('at %i° by %d° on one axis, %d° on both', (deg, oneDeg, bothDeg) => {
    const [x, y] = [Math.sin(rad(deg)), Math.cos(rad(deg))]
    expect((angleOf(x + 0.02, y, 0)?.value ?? 0) - deg).toBeCloseTo(oneDeg, 4)
    expect((angleOf(x + 0.02, y + 0.02, 0)?.value ?? 0) - deg).toBeCloseTo(bothDeg, 4)
  })
})

/** A sensor plane turned by gamma about its zero direction: atan2(sin t, cos t cos gamma), by hand calculation. */
describe('a sensor set askew by gamma errs', () => {
  test.each([
    [1, 45, 0.004364],
    [2, 30, 0.01512],
    [5, 45, 0.109222],
    [5, 90, 0],
    [10, 60, 0.378348],
    [10, 135, -0.438549],
  ])('gamma %i° at %i° by %d°', (gammaDeg, deg, errorDeg) => {
    const [up, g] = [Math.cos(rad(deg)), rad(gammaDeg)]
    const row = angleOf(Math.sin(rad(deg)), up * Math.cos(g), up * Math.sin(g))
    expect((row?.value ?? 0) - deg).toBeCloseTo(errorDeg, 5)
  })
})

/** Both: gravity (cos b sin t, cos b cos t, −sin b) in a sensor turned by gamma, by hand calculation. */
describe('a spindle that leans by beta under a sensor set askew by gamma errs', () => {
  test.each([
    [5, 0, 90, 0],
    [2, 2, 90, -0.069827],
    [5, 2, 45, -0.106054],
    [5, 5, 90, -0.43688],
    [10, 5, 135, -0.741055],
    [30, 2, 90, -1.15431],
  ])('beta %i°, gamma %i° at %i° by %d°', (betaDeg, gammaDeg, deg, errorDeg) => {
    const read = (at: number) => {
      const [b, g, t] = [rad(betaDeg), rad(gammaDeg), rad(at)]
      const [x, y, z] = [Math.cos(b) * Math.sin(t), Math.cos(b) * Math.cos(t), -Math.sin(b)]
      return angleOf(x, y * Math.cos(g) - z * Math.sin(g), y * Math.sin(g) + z * Math.cos(g))
    }
    expect((read(deg)?.value ?? 0) - (read(0)?.value ?? 0) - deg).toBeCloseTo(errorDeg, 5)
  })
})

/** Gravity in the plane shrinks as cos beta, and every error of an axis grows as its inverse. */
describe('why half a g in the plane is the least', () => {
  /** Largest turn of the angle by an offset of 1 mg anywhere in the swing, found by trying. */
  function worstDeg(planeG: number): number {
    let worst = 0
    for (let deg = -170; deg <= 170; deg += 1) {
      const [x, y] = [planeG * Math.sin(rad(deg)), planeG * Math.cos(rad(deg))]
      const z = Math.sqrt(1 - planeG ** 2)
      const error = (angleOf(x + 0.001, y, z)?.value ?? 0) - (angleOf(x, y, z)?.value ?? 0)
      worst = Math.max(worst, Math.abs(error))
    }
    return worst
  }
  test.each([
    [0, 1],
    [10, 1.0154],
    [30, 1.1547],
    [59, 1.9416],
  ])('a lean of %d° makes an offset count %d times', (betaDeg, times) => {
    expect(worstDeg(Math.cos(rad(betaDeg))) / worstDeg(1)).toBeCloseTo(times, 3)
  })

  test('1 mg stays near the tenth of a degree down to it, and not below', () => {
    expect(worstDeg(1)).toBeCloseTo(0.0573, 4)
    // A hair above the bound, so that the offset itself does not lead below it.
    expect(worstDeg(PLANE_LEAST_G + 0.002)).toBeCloseTo(0.114, 3)
    const flatDeg = (Math.asin(0.001 / Math.cos(rad(85))) * 180) / Math.PI
    expect(flatDeg).toBeCloseTo(0.657, 3)
  })

  test.each([60.1, 75, 80, 85, 89, 90])('so at a lean of %d° there is no angle', (betaDeg) => {
    const row = angleOf(Math.cos(rad(betaDeg)), 0, Math.sin(rad(betaDeg)))
    expect(row?.quality).toBe(BAD)
  })
})
