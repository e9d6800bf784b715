import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { interceptPrior, wholeVariance } from '../../../../server/bend/leg-prior.ts'
import { MATERIALS, materialOf } from '../../../../server/bend/materials.ts'
import { springbackSlope } from '../../../../server/bend/section.ts'
import { legSpringbackDeg } from '../../../../server/bend/section-estimates.ts'
import {
  coefficientsOf,
  priorFor,
  springbackAtDeg,
  springbackOfNext,
} from '../../../../server/bend/springback.ts'
import { type LearnedBend, learn, modelFrom } from '../../../support/springback-alone.ts'

const SEED = 4104

const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }
const prior = priorFor(tube, materialOf('316l-annealed'))

const histories: fc.Arbitrary<LearnedBend[]> = fc.array(
  fc
    .record({
      loadedDeg: fc.double({ min: 3, max: 180, noNaN: true }),
      share: fc.double({ min: 0.001, max: 0.9, noNaN: true }),
    })
    .map(({ loadedDeg, share }) => ({ loadedDeg, springbackDeg: loadedDeg * share })),
  { maxLength: 20 },
)

describe('springbackAtDeg', () => {
  it('is never more than the bend nor less than none (seed 4104)', () =>
    fc.assert(
      fc.property(
        fc.double({ min: -0.3, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        (interceptDeg, slope, loadedDeg) => {
          const at = springbackAtDeg({ interceptDeg, slope }, loadedDeg)
          expect(at).toBeGreaterThanOrEqual(0)
          expect(at).toBeLessThanOrEqual(loadedDeg)
        },
      ),
      { seed: SEED },
    ))

  it('gives all of it back when nothing yields', () => {
    expect(springbackAtDeg({ interceptDeg: 0.5, slope: 1 }, 12)).toBe(12)
  })
})

describe('priorFor', () => {
  it.each(MATERIALS.map(({ key }) => key))('%s: the mechanics of arc and 100 mm of leg', (key) => {
    const material = materialOf(key)
    const { interceptDeg, slope } = coefficientsOf(priorFor(tube, material))
    expect(interceptDeg).toBeCloseTo(legSpringbackDeg(slope, tube.clrMm, 100), 14)
    expect(slope).toBeCloseTo(springbackSlope(tube, material.law, material.unloadingFactor), 14)
  })

  it('is as wide as noise, intercept and the material’s spread together', () => {
    const material = materialOf('1020-dom')
    const model = priorFor(tube, material)
    const { scaleDeg, degreesOfFreedom } = springbackOfNext(model, 90)
    const slopeSd = material.slopeSpread * coefficientsOf(model).slope
    // Each is a standard deviation under E[σ²]; the scale of a t of 6 df is √(4/6) of it.
    const perSlopeDeg = legSpringbackDeg(1, tube.clrMm, 100)
    const alphaSd = Math.sqrt(
      wholeVariance(interceptPrior(coefficientsOf(model).slope, tube.clrMm)),
    )
    const sd = Math.sqrt(0.2 ** 2 + alphaSd ** 2 + (slopeSd * (90 + perSlopeDeg)) ** 2)
    expect(scaleDeg).toBeCloseTo(sd * Math.sqrt(4 / 6), 6)
    expect(degreesOfFreedom).toBe(6)
    expect(model.bends).toBe(0)
  })

  it('refuses a tube that cannot be', () => {
    const code = 'TUBE_WALL'
    const bad = { ...tube, wallMm: 20 }
    expect(() => priorFor(bad, materialOf('1020-dom'))).toThrow(expect.objectContaining({ code }))
  })
})

describe('springbackOfNext', () => {
  it.each([0, -1, 361, Number.NaN])('refuses a loaded angle of %d', (loadedDeg) => {
    const code = 'LOADED_ANGLE'
    expect(() => springbackOfNext(prior, loadedDeg)).toThrow(expect.objectContaining({ code }))
  })
})

describe('one set-up taught by itself', () => {
  it('draws nearer to what is seen, and grows surer', () => {
    const seen = { loadedDeg: 92, springbackDeg: 3.9 }
    const far = (model: typeof prior) =>
      Math.abs(springbackOfNext(model, 92).springbackDeg - seen.springbackDeg)
    const once = learn(prior, seen)
    const thrice = modelFrom(once, [seen, seen])
    expect(far(once)).toBeLessThan(far(prior))
    expect(far(thrice)).toBeLessThan(far(once))
    expect(springbackOfNext(thrice, 92).scaleDeg).toBeLessThan(springbackOfNext(prior, 92).scaleDeg)
    expect(thrice.bends).toBe(3)
  })

  it('finds a and b from many bends without noise', () => {
    const truth = { interceptDeg: 0.8, slope: 0.033 }
    const bends = Array.from({ length: 200 }, (_, k) => {
      const loadedDeg = 15 + (k % 12) * 10
      return { loadedDeg, springbackDeg: springbackAtDeg(truth, loadedDeg) }
    })
    const { interceptDeg, slope } = coefficientsOf(modelFrom(prior, bends))
    expect(interceptDeg).toBeCloseTo(0.8, 2)
    expect(slope).toBeCloseTo(0.033, 4)
  })

  it('keeps the coefficients to what can be, whatever it was taught (seed 4104)', () =>
    fc.assert(
      fc.property(histories, (bends) => {
        const { interceptDeg, slope } = coefficientsOf(modelFrom(prior, bends))
        expect(interceptDeg).toBeGreaterThanOrEqual(-0.3)
        expect(slope).toBeGreaterThanOrEqual(0)
        expect(slope).toBeLessThanOrEqual(1)
      }),
      { seed: SEED },
    ))

  it('never predicts more springback than bend, whatever it was taught (seed 4104)', () =>
    fc.assert(
      fc.property(histories, fc.double({ min: 0.01, max: 360, noNaN: true }), (bends, at) => {
        const { springbackDeg } = springbackOfNext(modelFrom(prior, bends), at)
        expect(springbackDeg).toBeGreaterThanOrEqual(0)
        expect(springbackDeg).toBeLessThanOrEqual(at)
      }),
      { seed: SEED },
    ))

  it.each([
    [{ loadedDeg: 90, springbackDeg: 0 }, 'SPRINGBACK'],
    [{ loadedDeg: 90, springbackDeg: -0.1 }, 'SPRINGBACK'],
    [{ loadedDeg: 90, springbackDeg: 90 }, 'SPRINGBACK'],
    [{ loadedDeg: 90, springbackDeg: Number.NaN }, 'SPRINGBACK'],
    [{ loadedDeg: 0, springbackDeg: 1 }, 'SPRINGBACK'],
    [{ loadedDeg: Number.NaN, springbackDeg: 1 }, 'SPRINGBACK'],
  ])('%o is refused: %s', (bend, code) => {
    expect(() => learn(prior, bend)).toThrow(expect.objectContaining({ code }))
  })
})

describe('modelFrom', () => {
  it('rebuilds the very digits of the model that learned bend by bend (seed 4104)', () =>
    fc.assert(
      fc.property(histories, (bends) => {
        let live = prior
        for (const bend of bends) live = learn(live, bend)
        // As it comes back from a store that holds JSON.
        const stored: LearnedBend[] = JSON.parse(JSON.stringify(bends))
        const rebuilt = modelFrom(priorFor(tube, materialOf('316l-annealed')), stored)
        expect(rebuilt).toEqual(live)
        expect(springbackOfNext(rebuilt, 90)).toEqual(springbackOfNext(live, 90))
      }),
      { seed: SEED },
    ))
})
