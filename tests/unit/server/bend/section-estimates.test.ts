import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { legSpringbackDeg, sectionEstimates } from '../../../../server/bend/section-estimates.ts'

const SEED = 4103
const rail = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }

const tubes = fc
  .record({
    odMm: fc.double({ min: 5, max: 150, noNaN: true }),
    wallShare: fc.double({ min: 0.01, max: 0.5, noNaN: true }),
    radiusShare: fc.double({ min: 0.5, max: 40, noNaN: true }),
  })
  .map(({ odMm, wallShare, radiusShare }) => ({
    odMm,
    wallMm: odMm * wallShare,
    clrMm: odMm * radiusShare,
  }))

describe('sectionEstimates', () => {
  it('a rail of three diameters', () => {
    const { radiusRatio, wallRatio, outerStretch, ovality } = sectionEstimates(rail)
    expect(radiusRatio).toBeCloseTo(3, 12)
    expect(wallRatio).toBeCloseTo(23.0909, 4)
    expect(outerStretch).toBeCloseTo(1 / 6, 12)
    expect(ovality).toBeCloseTo(0.0385, 4)
  })

  it('thinning: 1/(1 + e) where the girth is held, 1/√(1 + e) where it is free', () => {
    const { thinningLow, thinningHigh } = sectionEstimates(rail)
    expect(thinningHigh).toBeCloseTo(1 - 6 / 7, 12)
    expect(thinningLow).toBeCloseTo(1 - Math.sqrt(6 / 7), 12)
  })

  it('a solid bar hardly flattens', () => {
    const { wallRatio, ovality } = sectionEstimates({ odMm: 12, wallMm: 6, clrMm: 36 })
    expect(wallRatio).toBe(2)
    expect(ovality).toBeLessThan(0.004)
  })

  it('fractions, low below high, the same at every size (seed 4103)', () => {
    fc.assert(
      fc.property(tubes, fc.double({ min: 0.1, max: 10, noNaN: true }), (tube, k) => {
        const at = sectionEstimates(tube)
        expect(at.thinningLow).toBeGreaterThan(0)
        expect(at.thinningLow).toBeLessThan(at.thinningHigh)
        expect(at.thinningHigh).toBeLessThan(at.outerStretch)
        expect(at.ovality).toBeGreaterThan(0)
        expect(at.ovality).toBeLessThanOrEqual(1)
        const scaled = { odMm: k * tube.odMm, wallMm: k * tube.wallMm, clrMm: k * tube.clrMm }
        for (const [name, value] of Object.entries(sectionEstimates(scaled)))
          expect(value / at[name as keyof typeof at], name).toBeCloseTo(1, 9)
      }),
      { seed: SEED },
    )
  })

  it('a wider die does less to the section (seed 4103)', () => {
    fc.assert(
      fc.property(tubes, fc.double({ min: 1.01, max: 5, noNaN: true }), (tube, k) => {
        const at = sectionEstimates(tube)
        const wider = sectionEstimates({ ...tube, clrMm: k * tube.clrMm })
        expect(wider.outerStretch).toBeLessThan(at.outerStretch)
        expect(wider.thinningHigh).toBeLessThan(at.thinningHigh)
        expect(wider.ovality).toBeLessThanOrEqual(at.ovality)
      }),
      { seed: SEED },
    )
  })

  it.each([
    ['od 0', { ...rail, odMm: 0 }, 'TUBE_OD'],
    ['od NaN', { ...rail, odMm: Number.NaN }, 'TUBE_OD'],
    ['wall below 0', { ...rail, wallMm: -1 }, 'TUBE_WALL'],
    ['wall over half the diameter', { ...rail, wallMm: 19.1 }, 'TUBE_WALL'],
    ['radius inside the tube', { ...rail, clrMm: 19 }, 'DIE_RADIUS'],
    ['radius infinite', { ...rail, clrMm: Infinity }, 'DIE_RADIUS'],
  ])('refuses %s', (_name, tube, code) => {
    expect(() => sectionEstimates(tube)).toThrow(expect.objectContaining({ code }))
  })
})

describe('legSpringbackDeg', () => {
  it('grows with slope and leg, falls with the radius', () => {
    const at = legSpringbackDeg(0.03, 100, 100)
    expect(at).toBeCloseTo(0.859, 3)
    expect(legSpringbackDeg(0.06, 100, 100)).toBeCloseTo(2 * at, 12)
    expect(legSpringbackDeg(0.03, 100, 50)).toBeCloseTo(at / 2, 12)
    expect(legSpringbackDeg(0.03, 200, 100)).toBeCloseTo(at / 2, 12)
  })

  it('no leg, nothing', () => expect(legSpringbackDeg(0.03, 100, 0)).toBe(0))
})
