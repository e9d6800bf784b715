import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { errorShares } from '../../../../server/bend/error-shares.ts'

const BEND = {
  wantedDeg: 90,
  commandedDeg: 93,
  peakDeg: 93.5,
  releasedDeg: 90.2,
  expectedDeg: (3 * 93.5) / 93,
}

describe('where an error came from', () => {
  test('the stop was half a degree late, and the tube sprang 0.3° more than expected', () => {
    expect(errorShares(BEND)).toEqual({
      stopDeg: expect.closeTo((0.5 * 90) / 93, 9),
      tubeDeg: expect.closeTo(3.016129 - 3.3, 6),
      aimDeg: expect.closeTo(0, 9),
    })
  })

  test('a stop far too late is no aim on purpose', () => {
    const late = { ...BEND, peakDeg: 99.2, expectedDeg: 3.2, releasedDeg: 96 }
    expect(errorShares(late)).toEqual({
      stopDeg: expect.closeTo(6, 9),
      tubeDeg: expect.closeTo(0, 9),
      aimDeg: expect.closeTo(0, 9),
    })
  })

  test('an aim short on purpose is neither the tube nor the stop', () => {
    const shy = { ...BEND, commandedDeg: 92.4, peakDeg: 92.4, releasedDeg: 89.4, expectedDeg: 3 }
    expect(errorShares(shy)).toEqual({
      stopDeg: 0,
      tubeDeg: expect.closeTo(0, 9),
      aimDeg: expect.closeTo(-0.6, 9),
    })
  })

  test('the shares add up to the error, whatever was bent', () => {
    const deg = fc.double({ min: -10, max: 200, noNaN: true })
    const peakDeg = fc.double({ min: 0.1, max: 200, noNaN: true })
    const bends = fc.record({
      wantedDeg: deg,
      commandedDeg: deg,
      peakDeg,
      releasedDeg: deg,
      expectedDeg: deg,
    })
    fc.assert(
      fc.property(bends, (bend) => {
        const { stopDeg, tubeDeg, aimDeg } = errorShares(bend) ?? {
          stopDeg: Number.NaN,
          tubeDeg: 0,
          aimDeg: 0,
        }
        expect(stopDeg + tubeDeg + aimDeg).toBeCloseTo(bend.releasedDeg - bend.wantedDeg, 6)
      }),
      { seed: 1 },
    )
  })

  test.each(['commandedDeg', 'peakDeg', 'releasedDeg', 'expectedDeg'] as const)(
    'nobody is blamed where %s is not known',
    (name) => {
      expect(errorShares({ ...BEND, [name]: null })).toBeNull()
    },
  )
})
