import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import {
  bendingMomentNm,
  firstYieldMpa,
  secondMomentMm4,
  type TubeSpec,
  yieldMomentNm,
} from '../../../../firmware-protocol/bench/section.ts'

interface Case {
  readonly name: string
  readonly odMm: number
  readonly wallMm: number
  readonly clrMm: number
  readonly yieldMpa: number
  readonly modulusGpa: number
  readonly tangentModulusGpa: number
  readonly secondMomentMm4: number
  readonly momentNm: number
}

const DATA = new URL('../../../outside/data/tube-section-mechanics.json', import.meta.url)
const { cases } = JSON.parse(readFileSync(DATA, 'utf8')) as { cases: Case[] }

/** A Swift law with exponent 0 does not harden: elastic, then perfectly plastic. */
const plastic = (check: Case): TubeSpec => ({
  odMm: check.odMm,
  wallMm: check.wallMm,
  clrMm: check.clrMm,
  modulusMpa: check.modulusGpa * 1000,
  strengthMpa: check.yieldMpa,
  preStrain: 0.01,
  hardeningExponent: 0,
})

const SWIFT: TubeSpec = {
  odMm: 38.1,
  wallMm: 2.413,
  clrMm: 114.3,
  modulusMpa: 205_000,
  strengthMpa: 650,
  preStrain: 0.004,
  hardeningExponent: 0.06,
}

describe('the section of a tube against strips outside the project (tube-section-mechanics.json)', () => {
  it.each(cases.map((check) => [check.name, check] as const))(
    'second moment: %s',
    (_name, check) => {
      expect(secondMomentMm4(plastic(check)) / check.secondMomentMm4).toBeCloseTo(1, 6)
    },
  )

  const perfectlyPlastic = cases.filter(({ tangentModulusGpa }) => tangentModulusGpa === 0)
  it('has cases without hardening to compare with', () => {
    expect(perfectlyPlastic.length).toBeGreaterThanOrEqual(2)
  })
  it.each(perfectlyPlastic.map((check) => [check.name, check] as const))(
    'moment without hardening: %s',
    (_name, check) => {
      expect(Math.abs(bendingMomentNm(plastic(check)) / check.momentNm - 1)).toBeLessThan(1e-4)
    },
  )
})

describe('the moment', () => {
  it('of a hardening tube is that of 20,000 strips reckoned elsewhere: 1758.997 N·m', () => {
    // Swift law, K 650, e0 .004, n .06, E 205000, 38.1 x 2.413, R 114.3: springback reference, section 1.
    expect(firstYieldMpa(SWIFT)).toBeCloseTo(466.699, 3)
    expect(Math.abs(bendingMomentNm(SWIFT) / 1758.997 - 1)).toBeLessThan(1e-4)
  })

  it('of a fully plastic thin tube tends to Y·D²·t (standard plastic bending theory)', () => {
    const thin = { ...SWIFT, wallMm: 0.05, hardeningExponent: 0, strengthMpa: 300, clrMm: 30 }
    const meanMm = thin.odMm - thin.wallMm
    const plasticNm = (300 * meanMm ** 2 * thin.wallMm) / 1000
    expect(bendingMomentNm(thin) / plasticNm).toBeCloseTo(1, 2)
  })

  it('of a tube that does not yield is elastic: E·I/R', () => {
    const wide = { ...SWIFT, clrMm: 100_000 }
    const elasticNm = (wide.modulusMpa * secondMomentMm4(wide)) / wide.clrMm / 1000
    expect(bendingMomentNm(wide) / elasticNm).toBeCloseTo(1, 3)
    expect(bendingMomentNm(wide)).toBeLessThan(yieldMomentNm(wide))
  })

  it('at first yield lies below the full one by the shape factor of a thin tube, 4/π', () => {
    const thin = { ...SWIFT, wallMm: 0.05, hardeningExponent: 0, clrMm: 30 }
    expect(bendingMomentNm(thin) / yieldMomentNm(thin)).toBeCloseTo(4 / Math.PI, 2)
  })

  it.each([
    ['strength', { strengthMpa: 700 }],
    ['wall', { wallMm: 2.6 }],
    ['diameter', { odMm: 40 }],
    ['a tighter die', { clrMm: 100 }],
    ['hardening from a larger pre-strain', { preStrain: 0.02 }],
  ])('grows with %s', (_what, change) => {
    expect(bendingMomentNm({ ...SWIFT, ...change })).toBeGreaterThan(bendingMomentNm(SWIFT))
  })
})
