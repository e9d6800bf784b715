import { describe, expect, test } from 'vitest'
import { inspected, ovality, thinningPercent } from '../../server/quality/inspection.ts'

// Definitions as they are named in ASME B31.3 332.2.1 and PFI ES-24 (nominal; from memory), EN 13480-4 7.4.1 (mean; the
// formula from memory) and FIA Appendix J art. 253-8.3.3 (ratio). The figures were computed from these definitions by hand.
describe('ovality by three definitions', () => {
  test.each([
    [41.0, 38.6, 40, 6.0, 6.030151, 0.941463],
    [51.0, 49.5, 50.8, 2.952756, 2.985075, 0.970588],
    [46.0, 42.0, 45, 8.888889, 9.090909, 0.913043],
    [44.4, 41.0, 42.4, 8.018868, 7.962529, 0.923423],
  ])(
    'of %d and %d mm on a tube of %d mm',
    (largestOdMm, smallestOdMm, odMm, nominal, mean, ratio) => {
      const diameters = { largestOdMm, smallestOdMm, odMm }
      expect(ovality('nominal', diameters)).toBeCloseTo(nominal, 6)
      expect(ovality('mean', diameters)).toBeCloseTo(mean, 6)
      expect(ovality('ratio', diameters)).toBeCloseTo(ratio, 6)
    },
  )

  test('a ratio of 0.9 is 10.526316 % of the mean, a mean of 8 % a ratio of 0.923077', () => {
    expect(ovality('mean', { largestOdMm: 1, smallestOdMm: 0.9, odMm: 1 })).toBeCloseTo(
      10.526316,
      6,
    )
    const smallestOdMm = 12 / 13
    expect(ovality('mean', { largestOdMm: 1, smallestOdMm, odMm: 1 })).toBeCloseTo(8, 9)
  })
})

describe('an inspection against the limits of a code', () => {
  const measured = { largestOdMm: 44.4, smallestOdMm: 41, wallMm: 2.08 }
  const tube = { odMm: 42.4, wallMm: 2.6 }
  const limited = (by: 'nominal' | 'mean' | 'ratio', limit: number, thinningMaxPercent = 20) =>
    inspected({ ...measured, limits: { ovality: { by, limit }, thinningMaxPercent } }, tube)

  test('the definition decides: 8 % is failed by the nominal and kept by the mean diameter', () => {
    expect(limited('nominal', 8).ovality?.within).toBe(false)
    expect(limited('mean', 8).ovality?.within).toBe(true)
    expect(limited('ratio', 0.9).ovality?.within).toBe(true)
    expect(limited('ratio', 0.95).ovality?.within).toBe(false)
  })

  test('a wall of 2.08 of 2.60 mm is 20 % thinner', () => {
    expect(thinningPercent(2.6, 2.08)).toBeCloseTo(20, 9)
    expect(limited('mean', 8, 20.1).thinning?.within).toBe(true)
    expect(limited('mean', 8, 19.9).thinning?.within).toBe(false)
  })

  test('without limits nothing is within or outside', () => {
    const found = inspected({ ...measured, limits: null }, tube)
    expect(found.ovality).toMatchObject({ by: 'nominal', limit: null, within: null })
    expect(found.thinning).toMatchObject({ limit: null, within: null })
  })

  test('what was not measured has no figure', () => {
    const nothing = { largestOdMm: null, smallestOdMm: null, wallMm: null, limits: null }
    expect(inspected(nothing, tube)).toEqual({ ovality: null, thinning: null })
  })
})
