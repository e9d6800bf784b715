import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { materialOf } from '../../../../server/bend/materials.ts'
import { priorFor, springbackAtDeg } from '../../../../server/bend/springback.ts'
import { predictSpringback } from '../../../../server/bend/springback-prediction.ts'
import { learn } from '../../../support/springback-alone.ts'

const SEED = 4105

const prior = priorFor({ odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }, materialOf('316l-annealed'))

/** Mulberry32: small, seeded, good enough for a coverage count. */
function random(seed: number): () => number {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296
  }
}

function normal(uniform: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform())
}

describe('predictSpringback', () => {
  it('is centred on the middle, and narrower after a bend', () => {
    const before = predictSpringback(prior, 92)
    const after = predictSpringback(learn(prior, { loadedDeg: 92, springbackDeg: 3 }), 92)
    expect(before.highDeg - before.springbackDeg).toBeCloseTo(
      before.springbackDeg - before.lowDeg,
      12,
    )
    expect(after.highDeg - after.lowDeg).toBeLessThan(before.highDeg - before.lowDeg)
    expect(after.degreesOfFreedom).toBe(7)
  })

  it('keeps the interval between none and all of the bend (seed 4105)', () =>
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 360, noNaN: true }), (loadedDeg) => {
        const { lowDeg, springbackDeg, highDeg } = predictSpringback(prior, loadedDeg)
        expect(lowDeg).toBeGreaterThanOrEqual(0)
        expect(springbackDeg).toBeGreaterThanOrEqual(lowDeg)
        expect(highDeg).toBeGreaterThanOrEqual(springbackDeg)
        expect(highDeg).toBeLessThanOrEqual(loadedDeg)
      }),
      { seed: SEED },
    ))

  it.each([0, -1, 361, Number.NaN])('refuses a loaded angle of %d°', (loadedDeg) => {
    const code = 'LOADED_ANGLE'
    expect(() => predictSpringback(prior, loadedDeg)).toThrow(expect.objectContaining({ code }))
  })

  it('holds the next bend in 93 to 97 % of shops drawn from the prior (seed 4105)', () => {
    const uniform = random(SEED)
    const material = materialOf('316l-annealed')
    const slope = predictSpringback(prior, 90)
    const middle = (slope.springbackDeg - 0.5) / 90
    let within = 0
    let asked = 0
    for (let shop = 0; shop < 1500; shop++) {
      // σ² ~ inverse gamma(3, 0.08): 0.08 over a gamma(3), the sum of three exponentials.
      const gamma = -Math.log((1 - uniform()) * (1 - uniform()) * (1 - uniform()))
      const sd = Math.sqrt(0.08 / gamma)
      const truth = {
        interceptDeg: 0.5 + (sd / 0.2) * 0.4 * normal(uniform),
        slope: middle * (1 + (sd / 0.2) * material.slopeSpread * normal(uniform)),
      }
      let model = prior
      for (let bend = 0; bend < 4; bend++) {
        const loadedDeg = 30 + 90 * uniform()
        const law = springbackAtDeg(truth, loadedDeg)
        const springbackDeg = law + sd * normal(uniform)
        if (!(springbackDeg > 0 && law > 0)) continue
        const { lowDeg, highDeg } = predictSpringback(model, loadedDeg)
        asked++
        if (springbackDeg >= lowDeg && springbackDeg <= highDeg) within++
        model = learn(model, { loadedDeg, springbackDeg })
      }
    }
    expect(asked).toBeGreaterThan(5000)
    expect(within / asked).toBeGreaterThan(0.93)
    expect(within / asked).toBeLessThan(0.97)
  })
})
