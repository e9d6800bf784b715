import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { errorShares } from '../../../../server/bend/error-shares.ts'

const BEND = {
  wantedDeg: 90,
  commandedDeg: 93,
  peakDeg: 93.5,
  releasedDeg: 90.2,
  expectedDeg: 3,
}

describe('where an error came from', () => {
  test('the stop was half a degree late, and the tube sprang 0.3° more than expected', () => {
    expect(errorShares(BEND)).toEqual({
      stopDeg: expect.closeTo(0.5, 9),
      tubeDeg: expect.closeTo(-0.3, 9),
      aimDeg: expect.closeTo(0, 9),
    })
  })

  test('an aim short on purpose is neither the tube nor the stop', () => {
    const shy = { ...BEND, commandedDeg: 92.4, peakDeg: 92.4, releasedDeg: 89.4 }
    expect(errorShares(shy)).toEqual({
      stopDeg: 0,
      tubeDeg: expect.closeTo(0, 9),
      aimDeg: expect.closeTo(-0.6, 9),
    })
  })

  test('the shares add up to the error, whatever was bent', () => {
    const deg = fc.double({ min: -10, max: 200, noNaN: true })
    const bends = fc.record({
      wantedDeg: deg,
      commandedDeg: deg,
      peakDeg: deg,
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
        expect(stopDeg + tubeDeg + aimDeg).toBeCloseTo(bend.releasedDeg - bend.wantedDeg, 9)
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
