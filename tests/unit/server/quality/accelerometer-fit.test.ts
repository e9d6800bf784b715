import { describe, expect, test } from 'vitest'
import { type Axes, fitSixPositions } from '../../../../server/quality/accelerometer-fit.ts'
import { CalibrationRefused } from '../../../../server/quality/calibration-refused.ts'

const OFFSETS = [0.04, -0.02, 0.1] as const
const UNITS = [1.01, 0.98, 1.03] as const
const at = (xG: number, yG: number, zG: number): Axes => ({ xG, yG, zG })
const shown = (x: number, y: number, z: number) =>
  at(OFFSETS[0] + UNITS[0] * x, OFFSETS[1] + UNITS[1] * y, OFFSETS[2] + UNITS[2] * z)
const SIX = [
  shown(1, 0, 0),
  shown(-1, 0, 0),
  shown(0, 1, 0),
  shown(0, -1, 0),
  shown(0, 0, 1),
  shown(0, 0, -1),
]

function refusalOf(positions: readonly Axes[]): CalibrationRefused {
  try {
    fitSixPositions(positions)
  } catch (error) {
    if (error instanceof CalibrationRefused) return error
    throw error
  }
  throw new Error('It was not refused.')
}

describe('fitSixPositions', () => {
  test('finds offset and gain of each axis, in any order', () => {
    for (const positions of [SIX, SIX.toReversed(), [...SIX.slice(2), ...SIX.slice(0, 2)]])
      for (const [axis, { offsetG, unitG }] of fitSixPositions(positions).entries()) {
        expect(offsetG).toBeCloseTo(OFFSETS[axis]!, 12)
        expect(unitG).toBeCloseTo(UNITS[axis]!, 12)
      }
  })

  test.each([
    ['POSITIONS', SIX.slice(1), 'got 5'],
    ['POSITIONS', [...SIX, SIX[0]!], 'got 7'],
    ['POSITIONS', [], 'got 0'],
    ['NO_NUMBER', SIX.with(2, at(0, Number.NaN, 0)), 'Point 3'],
    ['POSITION_TWICE', SIX.with(5, SIX[0]!), 'Position 6 is position 1'],
    ['POSITION_TWICE', SIX.with(1, at(0.99, 0.05, 0)), 'Position 2 is position 1'],
    ['POSITION_SKEW', SIX.with(3, at(0, -0.7, 0.7)), 'position 4'],
    ['AXIS_GAIN', SIX.with(0, at(0, 0, 0)), 'Axis x'],

    ['AXIS_GAIN', SIX.map(({ xG, yG, zG }) => at(xG / 4, yG / 4, zG / 4)), 'Axis x'],
    ['AXIS_GAIN', SIX.map(({ xG, yG, zG }) => at(xG, yG, zG * 3)), 'Axis z'],
  ])('refuses %s', (code, positions, words) => {
    const refused = refusalOf(positions)
    expect(refused.code).toBe(code)
    expect(refused.message).toContain(words)
    expect(refused.message).toMatch(/\.$/)
  })
})
