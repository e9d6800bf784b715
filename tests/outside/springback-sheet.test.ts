import { describe, expect, it } from 'vitest'
import { releasedRadiusMm } from '../../server/bend/section.ts'
import { momentByQuadratureNmm } from '../../server/bend/section-quadrature.ts'

/**
 * A flat sheet has a published cubic, so the stress law, the integral over a section and the
 * unloading can be checked on it: Ri/Rf = 4·X³ − 3·X + 1, X = Ri·Y/(E·T). Gardiner, The springback
 * of metals, Trans. ASME 79 (1957); Kalpakjian & Schmid, Manufacturing Engineering and Technology.
 */
function sheetSlope(x: number): number {
  const [thicknessMm, widthMm, modulusMpa, yieldMpa] = [2, 10, 200e3, 250]
  const radiusMm = (x * modulusMpa * thicknessMm) / yieldMpa
  const law = { kind: 'bilinear', modulusMpa, yieldMpa, tangentModulusMpa: 0 } as const
  const section = { halfDepthMm: thicknessMm / 2, widthMm: () => widthMm }
  const secondMoment = (widthMm * thicknessMm ** 3) / 12
  const momentNmm = momentByQuadratureNmm(section, radiusMm, law)
  return (momentNmm * radiusMm) / (modulusMpa * secondMoment)
}

describe('sheet: the rectangular section', () => {
  it.each([
    [0.05, 0.8505],
    [0.2, 0.432],
    [0.4, 0.056],
    [0.5, 0],
  ])('X = %d: Ri/Rf = %d', (x, ratio) => {
    expect(1 - sheetSlope(x)).toBeCloseTo(ratio, 12)
    expect(1 - sheetSlope(x)).toBeCloseTo(4 * x ** 3 - 3 * x + 1, 12)
  })

  it('fully plastic: M/My → 3/2', () => {
    const law = { kind: 'bilinear', modulusMpa: 1e15, yieldMpa: 250, tangentModulusMpa: 0 } as const
    const section = { halfDepthMm: 1, widthMm: () => 10 }
    const firstYield = (250 * 10 * 2 ** 2) / 6
    expect(momentByQuadratureNmm(section, 50, law) / firstYield).toBeCloseTo(1.5, 9)
  })

  it('worked: Ri 0.5 in, Y 40 ksi, E 29e6 psi, T 0.0359 in give 0.942 and 0.531 in', () => {
    // Kalpakjian & Schmid, example on springback, from memory.
    const x = (0.5 * 40e3) / (29e6 * 0.0359)
    expect(x).toBeCloseTo(0.0192, 4)
    const slope = sheetSlope(x)
    expect(1 - slope).toBeCloseTo(0.942, 3)
    expect(releasedRadiusMm(0.5, slope)).toBeCloseTo(0.531, 3)
    expect(1 - slope).toBeCloseTo(0.942397006, 9)
    expect(releasedRadiusMm(0.5, slope)).toBeCloseTo(0.530561957, 8)
  })

  // Computed outside from the cubic; the last two are a textbook's problem, without its modulus.
  it.each([
    [0.0359, 40e3, 29e6, 0.01921045, 0.530561957, 0.944282059, 95.310505],
    [0.0359, 40e3, 30e6, 0.018570102, 0.529484162, 0.946141173, 95.123225],
    [0.0265, 300, 190e3, 0.02979146, 0.5490093, 0.912835056, 98.593935],
    [0.0265, 300, 200e3, 0.028301887, 0.546337615, 0.91719328, 98.125446],
  ])(
    'T %d in, Y %d, E %d, R 0.5 in: X, radius after, Ks and what to bend for 90°',
    (thickness, yieldStress, modulus, x, after, factor, bendDeg) => {
      const at = (0.5 * yieldStress) / (modulus * thickness)
      expect(at).toBeCloseTo(x, 8)
      const afterIn = releasedRadiusMm(0.5, sheetSlope(at))
      expect(afterIn).toBeCloseTo(after, 8)
      // The middle fibre keeps its length: Ks = (2·Ri/T + 1)/(2·Rf/T + 1).
      const ks = (1 / thickness + 1) / ((2 * afterIn) / thickness + 1)
      expect(ks).toBeCloseTo(factor, 8)
      expect(90 / ks).toBeCloseTo(bendDeg, 5)
    },
  )
})
