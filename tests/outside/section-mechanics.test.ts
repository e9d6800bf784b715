import { describe, expect, it } from 'vitest'
import { bendingMomentNmm, secondMomentMm4, springbackSlope } from '../../server/bend/section.ts'
import strips from './data/section-strips.json' with { type: 'json' }
import published from './data/tube-section-mechanics.json' with { type: 'json' }
import { predictJson } from './predict-in-process.ts'

function expectNear(actual: number, expected: number, relative: number) {
  expect(Math.abs(actual / expected - 1), `${actual} against ${expected}`).toBeLessThan(relative)
}

describe(`predict against: ${published.source}`, () => {
  for (const check of published.cases)
    it(check.name, () => {
      const result = predictJson([
        ...['--od', String(check.odMm), '--wall', String(check.wallMm)],
        ...['--clr', String(check.clrMm), '--angle', String(check.wantedDeg)],
        ...['--yield', String(check.yieldMpa), '--modulus', String(check.modulusGpa)],
        ...['--tangent-modulus', String(check.tangentModulusGpa)],
      ])
      expectNear(result.secondMomentMm4, check.secondMomentMm4, check.relativeTolerance)
      expectNear(result.momentNm, check.momentNm, check.relativeTolerance)
      expectNear(result.slope, check.slope, check.relativeTolerance)
      expect(result.interceptDeg).toBe(0)
      if (check.loadedDeg === null) {
        expect(result.loadedDeg).toBeNull()
        expect(result.springbackDeg).toBeNull()
        expect(result.note).toContain('will not take a set on this radius')
      } else {
        expectNear(result.loadedDeg ?? Number.NaN, check.loadedDeg, check.relativeTolerance)
        expect(result.note).toBeNull()
      }
    })

  it('holds all twelve cases', () => expect(published.cases).toHaveLength(12))
})

describe(`section against: ${strips.source}`, () => {
  for (const check of strips.cases) {
    const { odMm, wallMm, clrMm, loadedDeg } = check
    const tube = { odMm, wallMm, clrMm }
    const metal = strips.materials[check.material as keyof typeof strips.materials]
    it(`${check.case}: ${check.material}, ${odMm} × ${wallMm} on ${clrMm}`, () => {
      const plastic = { kind: 'bilinear', ...metal, tangentModulusMpa: 0 } as const
      const hardening = { kind: 'bilinear', ...metal } as const
      const near = (actual: number, expected: number) =>
        expectNear(actual, expected, strips.relativeTolerance)
      near(bendingMomentNmm(tube, plastic) / 1000, check.plasticMomentNm)
      near(springbackSlope(tube, plastic, 1), check.plasticSlope)
      near(springbackSlope(tube, plastic, 1) * loadedDeg, check.plasticSpringbackDeg)
      near(bendingMomentNmm(tube, hardening) / 1000, check.hardeningMomentNm)
      near(springbackSlope(tube, hardening, 1), check.hardeningSlope)
      near(springbackSlope(tube, hardening, 1) * loadedDeg, check.hardeningSpringbackDeg)
    })
  }

  it('holds all twenty-nine cases', () => expect(strips.cases).toHaveLength(29))
})

describe('fully plastic limits (standard plastic bending theory)', () => {
  const yieldMpa = 300
  // So stiff that the elastic core vanishes: c = R·Y/E.
  const law = { kind: 'bilinear', modulusMpa: 1e15, yieldMpa, tangentModulusMpa: 0 } as const
  const moment = (odMm: number, wallMm: number) =>
    bendingMomentNmm({ odMm, wallMm, clrMm: 100 }, law)

  it('solid bar: M = Y·d³/6', () => {
    expectNear(moment(12, 6), (yieldMpa * 12 ** 3) / 6, 1e-12)
  })

  it('solid bar: shape factor 16/(3π) = 1.698', () => {
    const firstYield = (yieldMpa * secondMomentMm4({ odMm: 12, wallMm: 6, clrMm: 100 })) / 6
    expectNear(moment(12, 6) / firstYield, 16 / (3 * Math.PI), 1e-12)
    expect(moment(12, 6) / firstYield).toBeCloseTo(1.698, 3)
  })

  it.each([
    [2, 1.004115, 1.403209],
    [1, 1.000923, 1.337784],
    [0.1, 1.000008, 1.279616],
    [0.01, 1.0, 1.273876],
  ])('tube OD 20, wall %d: %d of Y·Dm²·t and shape factor %d', (wallMm, ofThin, shape) => {
    const tube = { odMm: 20, wallMm, clrMm: 100 }
    expect(moment(20, wallMm) / (yieldMpa * (20 - wallMm) ** 2 * wallMm)).toBeCloseTo(ofThin, 6)
    const firstYield = (yieldMpa * secondMomentMm4(tube)) / 10
    expect(moment(20, wallMm) / firstYield).toBeCloseTo(shape, 6)
  })

  it('thin tube: M → Y·D²·t and shape factor → 4/π = 1.273', () => {
    const wallMm = 1e-5
    const firstYield = (yieldMpa * secondMomentMm4({ odMm: 20, wallMm, clrMm: 100 })) / 10
    expectNear(moment(20, wallMm), yieldMpa * 20 ** 2 * wallMm, 3e-6)
    expectNear(moment(20, wallMm) / firstYield, 4 / Math.PI, 3e-6)
  })
})

describe('Hollomon’s law, against its closed form and strips done outside the project', () => {
  it.each([
    ['304', 25.4, 1.651, 50.8, 193000, 1275, 0.45, 547.601, 0.0165171],
    ['6061-T6', 25.4, 3.175, 101.6, 68900, 410, 0.05, 571.027, 0.0602877],
    ['annealed low-carbon steel', 38.1, 1.651, 114.3, 205000, 530, 0.26, 670.233, 0.0118786],
  ])('%s', (_name, odMm, wallMm, clrMm, modulusMpa, strengthMpa, exponent, momentNm, slope) => {
    // The published law has no plateau: σ = min(E·ε, K·εⁿ).
    const law = { kind: 'power', modulusMpa, yieldMpa: 1e-9, strengthMpa, exponent } as const
    const tube = { odMm, wallMm, clrMm }
    expectNear(bendingMomentNmm(tube, law) / 1000, momentNm, 2e-6)
    expectNear(springbackSlope(tube, law, 1), slope, 5e-6)
  })

  it('n = 0.5 with no core: M = K·R^−n·(ro³·⁵ − ri³·⁵)/3.5·2√π·Γ(1.25)/Γ(1.75)', () => {
    // Γ values: Abramowitz & Stegun, table 6.1.
    const gamma125 = 0.9064024770554771
    const gamma175 = 0.9190625268488883
    const closed = (ro: number, ri: number, clrMm: number) =>
      ((1000 * clrMm ** -0.5 * (ro ** 3.5 - ri ** 3.5)) / 3.5) *
      ((2 * Math.sqrt(Math.PI) * gamma125) / gamma175)
    const law = {
      kind: 'power',
      modulusMpa: 1e9,
      yieldMpa: 1e-9,
      strengthMpa: 1000,
      exponent: 0.5,
    } as const
    const moment = bendingMomentNmm({ odMm: 40, wallMm: 2, clrMm: 120 }, law)
    expectNear(moment, closed(20, 18, 120), 1e-9)
  })
})

describe('inches at the command line', () => {
  it('1.5in on 4.5in is 38.1 mm on 114.3 mm', () => {
    const rest = ['--wall', '1.65', '--angle', '90', '--yield', '290', '--modulus', '193']
    const inches = predictJson(['--od', '1.5in', '--clr', '4.5in', ...rest])
    const millimetres = predictJson(['--od', '38.1', '--clr', '114.3', ...rest])
    expectNear(inches.momentNm, millimetres.momentNm, 1e-12)
    expectNear(inches.loadedDeg ?? Number.NaN, millimetres.loadedDeg ?? Number.NaN, 1e-12)
  })
})
