import { describe, expect, test } from 'vitest'
import {
  isSquare,
  isStill,
  type Look,
  lastSecond,
  leftOver,
  SIDES,
  stanceOf,
} from '../../../../../dashboard/pages/sensor/six-sides.ts'
import type { Axes, SixPositions } from '../../../../../server/messages/readout.ts'
import { fitSixPositions } from '../../../../../server/quality/accelerometer-fit.ts'
import { newSixPositions } from '../../../server/history/shop.ts'

const at = (xG: number, yG: number, zG: number): Axes => ({ xG, yG, zG })
/** Squarely on each side, in the order of the guide. */
const SQUARE: readonly Axes[] = [
  at(0, 0, 1),
  at(0, 0, -1),
  at(1, 0, 0),
  at(-1, 0, 0),
  at(0, 1, 0),
  at(0, -1, 0),
]

describe('how it stands', () => {
  test('each of the six sides is known by the axis that points up', () => {
    expect(SQUARE.map((axes) => stanceOf(axes).side)).toEqual(SIDES)
    for (const axes of SQUARE) expect(stanceOf(axes).leanDeg).toBe(0)
  })

  test('a lean is the angle between gravity and the axis, whichever way it leans', () => {
    const [cos, sin] = [Math.cos(Math.PI / 18), Math.sin(Math.PI / 18)]
    for (const axes of [at(sin, 0, cos), at(0, -sin, -cos), at(cos, sin, 0)])
      expect(stanceOf(axes).leanDeg).toBeCloseTo(10, 9)
    expect(stanceOf(at(1, 1, 1)).leanDeg).toBeCloseTo(54.7356, 4)
  })

  test('what the fit would refuse is not square, and what it takes is', () => {
    const leaning = (deg: number) =>
      at(Math.sin((deg * Math.PI) / 180), 0, Math.cos((deg * Math.PI) / 180))
    const fitTakes = (deg: number) => {
      try {
        fitSixPositions([leaning(deg), ...SQUARE.slice(1)])
        return true
      } catch {
        return false
      }
    }
    for (const deg of [0, 5, 19.9, 20.1, 44])
      expect([deg, isSquare(stanceOf(leaning(deg)))]).toEqual([deg, fitTakes(deg)])
  })

  test.each([at(0, 0, 0), at(Number.NaN, 0, 1), at(0, Number.NaN, Number.NaN)])(
    '%j is no side',
    (axes) => {
      expect(isSquare(stanceOf(axes))).toBe(false)
    },
  )
})

describe('still enough', () => {
  const looks = (shown: readonly Axes[], everyMs = 200): Look[] =>
    shown.map((axes, i) => ({ axes, atMs: 5000 + i * everyMs }))
  const standing = Array.from({ length: 6 }, () => at(0, 0, 1))

  test('is a second without more than 2 mg on any axis', () => {
    expect(isStill(looks(standing))).toBe(true)
    for (const rock of [at(0.0019, 0, 1), at(0, -0.0019, 1), at(0, 0, 1.0019)])
      expect(isStill(looks(standing.with(2, rock)))).toBe(true)
    for (const rock of [at(0.0021, 0, 1), at(0, -0.0021, 1), at(0, 0, 0.9979)])
      expect(isStill(looks(standing.with(2, rock)))).toBe(false)
  })

  test('is not told before a second has gone by, nor from two looks, nor from none', () => {
    expect(isStill([])).toBe(false)
    expect(isStill(looks(standing.slice(1)))).toBe(false)
    expect(isStill(looks(standing.slice(0, 2), 1000))).toBe(false)
    expect(isStill(looks(standing.slice(0, 3), 1000))).toBe(true)
  })

  test('forgets what was more than a second ago, and needs the look before it', () => {
    const moved = [at(0.5, 0, 0.8), ...standing]
    expect(isStill(looks(moved))).toBe(true)
    expect(lastSecond(looks(moved))).toEqual(looks(moved).slice(1))
    expect(isStill(looks(moved.slice(0, 6)))).toBe(false)
    expect(lastSecond([])).toEqual([])
    expect(lastSecond(looks(standing.slice(0, 3)))).toHaveLength(3)
  })

  test('an axis that shows no number is not still', () => {
    expect(isStill(looks(standing.with(5, at(0, Number.NaN, 1))))).toBe(false)
  })
})

describe('what offset and gain leave over', () => {
  const entryOf = (positions: readonly Axes[]): SixPositions => {
    const [x, y, z] = fitSixPositions(positions)
    const every = { ...newSixPositions(), id: 1, previousHash: '', hash: '' }
    return { ...every, positions: [...positions], x, y, z }
  }

  test('is nothing for axes that have only offset and gain', () => {
    const crooked = SQUARE.map(({ xG, yG, zG }) =>
      at(0.02 + 1.01 * xG, -0.01 + yG, 0.05 + 0.98 * zG),
    )
    const { offG, leanDeg } = leftOver(entryOf(crooked))
    expect(offG).toBeCloseTo(0, 12)
    expect(leanDeg).toBeCloseTo(0, 9)
  })

  test('is the lean of the side that stood worst, and what gravity is then too much by', () => {
    // Leaning by 2° both ways: the axis that lies shows tan 2° of what the upright one is scaled to.
    const [cos, sin] = [Math.cos(Math.PI / 90), Math.sin(Math.PI / 90)]
    const leaning = SQUARE.with(4, at(sin, cos, 0)).with(5, at(sin, -cos, 0))
    const { offG, leanDeg } = leftOver(entryOf(leaning))
    expect(leanDeg).toBeCloseTo(Math.atan(sin) / (Math.PI / 180), 9)
    expect(offG).toBeCloseTo(Math.hypot(1, sin) - 1, 12)
  })
})
