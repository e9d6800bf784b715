import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  checkLaw,
  cornerStrains,
  type StressStrainLaw,
  stressMpa,
} from '../../../../server/bend/section-law.ts'

const SEED = 4101

const bilinear = {
  kind: 'bilinear',
  modulusMpa: 200e3,
  yieldMpa: 400,
  tangentModulusMpa: 1000,
} as const
/** Hollomon's curve starts below Y: a plateau joins the two. */
const soft = {
  kind: 'power',
  modulusMpa: 193e3,
  yieldMpa: 240,
  strengthMpa: 1300,
  exponent: 0.4,
} as const
/** Hollomon's curve starts above Y: Hooke's line runs on until it meets it. */
const hard = {
  ...soft,
  modulusMpa: 68.9e3,
  yieldMpa: 280,
  strengthMpa: 410,
  exponent: 0.05,
} as const

describe('stressMpa', () => {
  it('bilinear: elastic, then along the tangent', () => {
    expect(stressMpa(bilinear, 0)).toBe(0)
    expect(stressMpa(bilinear, 0.001)).toBe(200)
    expect(stressMpa(bilinear, 0.002)).toBe(400)
    expect(stressMpa(bilinear, 0.102)).toBeCloseTo(500, 9)
  })

  it('power: elastic, a plateau at Y, then K·εⁿ', () => {
    expect(stressMpa(soft, 0.001)).toBe(193)
    expect(stressMpa(soft, 0.005)).toBe(240)
    expect(stressMpa(soft, 0.1)).toBeCloseTo(1300 * 0.1 ** 0.4, 9)
  })

  it('power above Y at once: no plateau', () => {
    const [corner] = cornerStrains(hard)
    expect(cornerStrains(hard)).toHaveLength(1)
    expect(stressMpa(hard, corner!)).toBeGreaterThan(280)
    expect(stressMpa(hard, corner!)).toBeCloseTo(410 * corner! ** 0.05, 6)
  })

  it.each([
    ['bilinear', bilinear],
    ['soft', soft],
    ['hard', hard],
  ] as const)('%s: never falls with strain, and has no jump (seed 4101)', (_name, law) => {
    const strain = fc.double({ min: 0, max: 0.5, noNaN: true })
    fc.assert(
      fc.property(strain, (at) => {
        expect(stressMpa(law, at + 1e-9)).toBeGreaterThanOrEqual(stressMpa(law, at))
        expect(stressMpa(law, at + 1e-9) - stressMpa(law, at)).toBeLessThan(1e-3)
      }),
      { seed: SEED },
    )
  })
})

describe('cornerStrains', () => {
  it('bilinear: the yield strain', () => expect(cornerStrains(bilinear)).toEqual([0.002]))

  it.each([
    ['bilinear', bilinear],
    ['soft', soft],
    ['hard', hard],
  ] as const)('%s: elastic up to the first corner and not beyond', (_name, law) => {
    const first = cornerStrains(law)[0]!
    expect(stressMpa(law, 0.999 * first)).toBeCloseTo(law.modulusMpa * 0.999 * first, 9)
    expect(stressMpa(law, 1.001 * first)).toBeLessThan(law.modulusMpa * 1.001 * first)
  })

  it('soft: ascending, and K·εⁿ equals Y at the second', () => {
    const [first, second] = cornerStrains(soft)
    expect(second).toBeGreaterThan(first!)
    expect(1300 * second! ** 0.4).toBeCloseTo(240, 9)
  })
})

describe('checkLaw', () => {
  const refused = (law: StressStrainLaw) => {
    try {
      checkLaw(law)
    } catch (error) {
      return (error as { code: string }).code
    }
    return 'accepted'
  }

  it.each([
    ['modulus 0', { ...bilinear, modulusMpa: 0 }, 'MODULUS'],
    ['modulus below 0', { ...bilinear, modulusMpa: -1 }, 'MODULUS'],
    ['modulus NaN', { ...bilinear, modulusMpa: Number.NaN }, 'MODULUS'],
    ['modulus infinite', { ...bilinear, modulusMpa: Infinity }, 'MODULUS'],
    ['yield 0', { ...bilinear, yieldMpa: 0 }, 'YIELD'],
    ['yield NaN', { ...soft, yieldMpa: Number.NaN }, 'YIELD'],
    ['yield infinite', { ...soft, yieldMpa: Infinity }, 'YIELD'],
    ['tangent below 0', { ...bilinear, tangentModulusMpa: -1 }, 'TANGENT_MODULUS'],
    ['tangent as Young’s', { ...bilinear, tangentModulusMpa: 200e3 }, 'TANGENT_MODULUS'],
    ['tangent NaN', { ...bilinear, tangentModulusMpa: Number.NaN }, 'TANGENT_MODULUS'],
    ['K 0', { ...soft, strengthMpa: 0 }, 'STRENGTH'],
    ['K NaN', { ...soft, strengthMpa: Number.NaN }, 'STRENGTH'],
    ['n 0', { ...soft, exponent: 0 }, 'EXPONENT'],
    ['n 1', { ...soft, exponent: 1 }, 'EXPONENT'],
    ['n NaN', { ...soft, exponent: Number.NaN }, 'EXPONENT'],
    ['bilinear', bilinear, 'accepted'],
    ['tangent 0', { ...bilinear, tangentModulusMpa: 0 }, 'accepted'],
    ['soft', soft, 'accepted'],
    ['hard', hard, 'accepted'],
  ] as const)('%s: %o is %s', (_name, law, code) => expect(refused(law)).toBe(code))
})
