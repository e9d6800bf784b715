import { describe, expect, it } from 'vitest'
import { makeWeb } from '../support/web.ts'
import published from './data/tube-section-mechanics.json' with { type: 'json' }

/** What a set-up may hold, mm: the limits beyond are left to `section-mechanics.test.ts`. */
const isHeld = ({ wallMm, clrMm }: { wallMm: number; clrMm: number }) =>
  wallMm >= 0.2 && clrMm <= 5000
const cases = published.cases.filter(isHeld)

describe(`a metal of the shop's own through the API, against: ${published.source}`, () => {
  it.each(cases)('$name', async (check) => {
    const { app } = makeWeb()
    const ownMaterial = {
      knownFrom: 'figures',
      source: published.source,
      modulusGpa: check.modulusGpa,
      yieldMpa: check.yieldMpa,
      tangentModulusMpa: 1000 * check.tangentModulusGpa,
      // The strips unload along Young's modulus.
      unloadingFactor: 1,
    }
    const { odMm, wallMm, clrMm, wantedDeg } = check
    const answer = await app.inject({
      method: 'POST',
      url: '/api/first-bend',
      payload: {
        die: { clrMm },
        tube: { odMm, wallMm, material: 'By strips', ownMaterial },
        wantedDeg,
      },
    })
    expect(answer.statusCode, answer.body).toBe(200)
    const bend = answer.json()
    const near = (actual: number, expected: number) =>
      expect(Math.abs(actual / expected - 1)).toBeLessThan(check.relativeTolerance)
    near(bend.secondMomentMm4, check.secondMomentMm4)
    near(bend.momentNm, check.momentNm)
    near(bend.slope, check.slope)
  })

  it('holds ten cases', () => expect(cases).toHaveLength(10))
})
