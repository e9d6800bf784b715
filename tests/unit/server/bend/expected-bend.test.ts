import { describe, expect, test } from 'vitest'
import { aimFor } from '../../../../server/bend/aim.ts'
import { expectedBend } from '../../../../server/bend/expected-bend.ts'
import { materialOf } from '../../../../server/bend/materials.ts'
import { beliefFrom } from '../../../../server/bend/normal-inverse-gamma.ts'
import { priorFor } from '../../../../server/bend/springback.ts'

describe('a bend as it is expected', () => {
  const model = priorFor({ odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }, materialOf('316l-annealed'))

  test.each([15, 38, 90, 180])(
    'leaves %d° and is taken where an even-handed aim takes it',
    (wantedDeg) => {
      const expected = expectedBend(model, wantedDeg)
      const { loadedDeg = 0, springbackDeg = 0, lowDeg = 0, highDeg = 0 } = expected ?? {}
      expect(loadedDeg - springbackDeg).toBeCloseTo(wantedDeg, 9)
      const aim = aimFor(model, wantedDeg)
      expect(aim).toMatchObject({ commandedDeg: loadedDeg, springbackDeg })
      expect(lowDeg).toBeLessThan(springbackDeg)
      expect(highDeg).toBeGreaterThan(springbackDeg)
    },
  )

  test('is none of a tube that takes no set', () => {
    const mean = [0.5, 0.8] as const
    const belief = beliefFrom({ mean, precision: [1, 1e6], shape: 3, rate: 0.1 })
    expect(expectedBend({ belief, bends: 0 }, 90)).toBeNull()
  })
})
