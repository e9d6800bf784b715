import { describe, expect, it } from 'vitest'
import { momentByQuadratureNmm } from '../../../../server/bend/section-quadrature.ts'

const elastic = {
  kind: 'bilinear',
  modulusMpa: 200e3,
  yieldMpa: 1e6,
  tangentModulusMpa: 0,
} as const

describe('momentByQuadratureNmm', () => {
  it('elastic rectangle: E·w·T³/(12·R)', () => {
    const section = { halfDepthMm: 1.5, widthMm: () => 20 }
    const expected = (200e3 * 20 * 3 ** 3) / (12 * 400)
    expect(momentByQuadratureNmm(section, 400, elastic) / expected).toBeCloseTo(1, 13)
  })

  it('elastic circle: E·π·r⁴/(4·R)', () => {
    const section = { halfDepthMm: 10, widthMm: (y: number) => 2 * Math.sqrt(100 - y * y) }
    const expected = (200e3 * Math.PI * 10 ** 4) / (4 * 300)
    expect(momentByQuadratureNmm(section, 300, elastic) / expected).toBeCloseTo(1, 13)
  })

  it('elastic diamond: E·w·h³/(6·R) with half depth h and width w at the axis', () => {
    const section = { halfDepthMm: 4, widthMm: (y: number) => 6 * (1 - y / 4) }
    const expected = (200e3 * 6 * 4 ** 3) / (6 * 300)
    expect(momentByQuadratureNmm(section, 300, elastic) / expected).toBeCloseTo(1, 6)
  })

  it('splits at the yield depth: a rectangle half yielded is exact', () => {
    // M/My = (3 − (c/h)²)/2 with the core's half depth c; here c/h = 1/2.
    const law = { ...elastic, yieldMpa: 200 }
    const section = { halfDepthMm: 2, widthMm: () => 5 }
    const firstYield = (200 * 5 * 4 ** 2) / 6
    expect(momentByQuadratureNmm(section, 1000, law) / firstYield).toBeCloseTo(1.375, 13)
  })
})
