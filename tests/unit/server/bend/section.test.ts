import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  bendingMomentNmm,
  releasedRadiusMm,
  secondMomentMm4,
  springbackSlope,
  type TubeOnDie,
} from '../../../../server/bend/section.ts'
import { type StressStrainLaw, stressMpa } from '../../../../server/bend/section-law.ts'

const SEED = 4102

const steel = {
  kind: 'bilinear',
  modulusMpa: 205e3,
  yieldMpa: 350,
  tangentModulusMpa: 1200,
} as const
const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }

/** Another way to the same number: strips across the tube, midpoint rule. */
function momentByStrips({ odMm, wallMm, clrMm }: TubeOnDie, law: StressStrainLaw): number {
  const strips = 4_000
  const outer = odMm / 2
  const inner = outer - wallMm
  const chord = (r: number, y: number) => (y < r ? 2 * Math.sqrt(r * r - y * y) : 0)
  let sum = 0
  for (let k = 0; k < strips; k++) {
    const y = ((k + 0.5) * outer) / strips
    sum += stressMpa(law, y / clrMm) * y * (chord(outer, y) - chord(inner, y))
  }
  return (2 * sum * outer) / strips
}

const tubes = fc
  .record({
    odMm: fc.double({ min: 5, max: 150, noNaN: true }),
    wallShare: fc.double({ min: 0.01, max: 0.5, noNaN: true }),
    radiusShare: fc.double({ min: 1, max: 400, noNaN: true }),
  })
  .map(({ odMm, wallShare, radiusShare }) => ({
    odMm,
    wallMm: odMm * wallShare,
    clrMm: odMm * radiusShare,
  }))

const bilinears = fc
  .record({
    modulusMpa: fc.double({ min: 50e3, max: 250e3, noNaN: true }),
    yieldMpa: fc.double({ min: 50, max: 900, noNaN: true }),
    tangentShare: fc.double({ min: 0, max: 0.03, noNaN: true }),
  })
  .map(({ modulusMpa, yieldMpa, tangentShare }) => ({
    kind: 'bilinear' as const,
    modulusMpa,
    yieldMpa,
    tangentModulusMpa: modulusMpa * tangentShare,
  }))

const powers = fc.record({
  kind: fc.constant('power' as const),
  modulusMpa: fc.double({ min: 50e3, max: 250e3, noNaN: true }),
  yieldMpa: fc.double({ min: 50, max: 900, noNaN: true }),
  strengthMpa: fc.double({ min: 150, max: 1600, noNaN: true }),
  exponent: fc.double({ min: 0.03, max: 0.6, noNaN: true }),
})

const laws = fc.oneof(bilinears, powers)

const holds = (property: fc.IRawProperty<unknown>) => fc.assert(property, { seed: SEED })

describe('secondMomentMm4', () => {
  it('solid bar: π·d⁴/64', () => {
    expect(secondMomentMm4({ odMm: 12, wallMm: 6, clrMm: 60 })).toBeCloseTo(
      (Math.PI * 12 ** 4) / 64,
      9,
    )
  })

  it('a wall of a nanometre keeps its digits', () => {
    const wallMm = 1e-6
    const thin = (Math.PI / 8) * 50 ** 3 * wallMm
    expect(secondMomentMm4({ odMm: 50, wallMm, clrMm: 100 }) / thin).toBeCloseTo(1, 6)
  })
})

describe('bendingMomentNmm', () => {
  it('agrees with strips, bilinear (seed 4102)', () =>
    holds(
      fc.property(tubes, bilinears, (at, law) => {
        expect(Math.abs(bendingMomentNmm(at, law) / momentByStrips(at, law) - 1)).toBeLessThan(1e-4)
      }),
    ))

  it('agrees with strips, power (seed 4102)', () =>
    holds(
      fc.property(tubes, powers, (at, law) => {
        expect(Math.abs(bendingMomentNmm(at, law) / momentByStrips(at, law) - 1)).toBeLessThan(1e-4)
      }),
    ))

  it('a tiny elastic core does not lose digits: the plastic limit is met', () => {
    for (const modulusMpa of [1e8, 1e10, 1e12, 1e15]) {
      const law = { ...steel, modulusMpa, tangentModulusMpa: 0 }
      const inner = tube.odMm / 2 - tube.wallMm
      const plastic = (4 / 3) * law.yieldMpa * ((tube.odMm / 2) ** 3 - inner ** 3)
      expect(bendingMomentNmm(tube, law) / plastic).toBeCloseTo(1, 7)
    }
  })

  it('does not jump where the tube, or its bore, begins to yield', () => {
    for (const radius of [tube.odMm / 2, tube.odMm / 2 - tube.wallMm]) {
      const clrMm = (radius * steel.modulusMpa) / steel.yieldMpa
      const before = bendingMomentNmm({ ...tube, clrMm: clrMm * (1 + 1e-9) }, steel)
      const after = bendingMomentNmm({ ...tube, clrMm: clrMm * (1 - 1e-9) }, steel)
      expect(after / before).toBeCloseTo(1, 7)
    }
  })

  it('scales with the cube of the size (seed 4102)', () =>
    holds(
      fc.property(tubes, laws, fc.double({ min: 0.1, max: 10, noNaN: true }), (at, law, k) => {
        const scaled = { odMm: k * at.odMm, wallMm: k * at.wallMm, clrMm: k * at.clrMm }
        const ratio = bendingMomentNmm(scaled, law) / bendingMomentNmm(at, law)
        expect(ratio / k ** 3).toBeCloseTo(1, 9)
      }),
    ))
})

describe('springbackSlope', () => {
  const slope = (at: TubeOnDie, law: StressStrainLaw) => springbackSlope(at, law, 1)
  const factors = fc.double({ min: 1.01, max: 2, noNaN: true })

  it('lies above 0 and at most at 1 (seed 4102)', () =>
    holds(
      fc.property(tubes, laws, fc.double({ min: 0.5, max: 1, noNaN: true }), (at, law, factor) => {
        const b = springbackSlope(at, law, factor)
        expect(b).toBeGreaterThan(0)
        expect(b).toBeLessThanOrEqual(1)
      }),
    ))

  it('is the same at every size (seed 4102)', () =>
    holds(
      fc.property(tubes, laws, fc.double({ min: 0.1, max: 10, noNaN: true }), (at, law, k) => {
        const scaled = { odMm: k * at.odMm, wallMm: k * at.wallMm, clrMm: k * at.clrMm }
        expect(slope(scaled, law) / slope(at, law)).toBeCloseTo(1, 9)
      }),
    ))

  it('is the same in psi and inches (seed 4102)', () =>
    holds(
      fc.property(tubes, bilinears, (at, law) => {
        const [psi, inch] = [145.0377377, 1 / 25.4]
        const inInches = { odMm: at.odMm * inch, wallMm: at.wallMm * inch, clrMm: at.clrMm * inch }
        const inPsi = {
          ...law,
          modulusMpa: law.modulusMpa * psi,
          yieldMpa: law.yieldMpa * psi,
          tangentModulusMpa: law.tangentModulusMpa * psi,
        }
        expect(slope(inInches, inPsi) / slope(at, law)).toBeCloseTo(1, 9)
      }),
    ))

  it('grows with yield and radius, falls with modulus (seed 4102)', () =>
    holds(
      fc.property(tubes, bilinears, factors, (at, law, factor) => {
        // With no hardening a stiffer metal is that and nothing else.
        const plastic = { ...law, tangentModulusMpa: 0 }
        const b = slope(at, plastic)
        // Once nothing yields the slope is 1, and can grow no more.
        const more = (other: number) => (b < 1 ? other > b : other === 1)
        expect(more(slope(at, { ...plastic, yieldMpa: law.yieldMpa * factor }))).toBe(true)
        expect(more(slope({ ...at, clrMm: at.clrMm * factor }, plastic))).toBe(true)
        const stiffer = slope(at, { ...plastic, modulusMpa: law.modulusMpa * factor })
        expect(b < 1 ? stiffer < b : stiffer <= b).toBe(true)
      }),
    ))

  it('grows with hardening: b = Et/E + (1 − Et/E)·b of no hardening (seed 4102)', () =>
    holds(
      fc.property(tubes, bilinears, (at, law) => {
        const plastic = slope(at, { ...law, tangentModulusMpa: 0 })
        const share = law.tangentModulusMpa / law.modulusMpa
        expect(slope(at, law)).toBeCloseTo(share + (1 - share) * plastic, 12)
        expect(slope(at, law)).toBeGreaterThanOrEqual(plastic - 1e-15)
      }),
    ))

  it('is exactly 1 when nothing yields, whatever the unloading modulus', () => {
    const clrMm = (1.0001 * (tube.odMm / 2) * steel.modulusMpa) / steel.yieldMpa
    expect(springbackSlope({ ...tube, clrMm }, steel, 1)).toBe(1)
    expect(springbackSlope({ ...tube, clrMm }, steel, 0.87)).toBe(1)
    expect(springbackSlope(tube, { ...steel, yieldMpa: 1e9 }, 1)).toBe(1)
  })

  it('is below 1 as soon as the outer fibre yields', () => {
    const clrMm = (0.99 * (tube.odMm / 2) * steel.modulusMpa) / steel.yieldMpa
    expect(springbackSlope({ ...tube, clrMm }, steel, 1)).toBeLessThan(1)
  })

  it('divides by the unloading modulus', () => {
    expect(springbackSlope(tube, steel, 0.8)).toBeCloseTo(springbackSlope(tube, steel, 1) / 0.8, 14)
  })

  it('hardly knows the wall: power +0.05 (DOM 38.1 × 2.413 on 114.3)', () => {
    const law = { ...steel, yieldMpa: 480, tangentModulusMpa: 1000 }
    const at = (wallMm: number) => Math.log(slope({ odMm: 38.1, wallMm, clrMm: 114.3 }, law))
    const power = (at(2.413 * 1.01) - at(2.413 * 0.99)) / (Math.log(1.01) - Math.log(0.99))
    expect(power).toBeCloseTo(0.049, 3)
  })
})

describe('releasedRadiusMm', () => {
  it('opens the radius', () => expect(releasedRadiusMm(97, 0.03)).toBeCloseTo(100, 12))
  it('is infinite when all comes back', () => expect(releasedRadiusMm(100, 1)).toBe(Infinity))
})

describe('what cannot be is refused with its code', () => {
  it.each([
    ['od 0', { ...tube, odMm: 0 }, 'TUBE_OD'],
    ['od below 0', { ...tube, odMm: -38 }, 'TUBE_OD'],
    ['od NaN', { ...tube, odMm: Number.NaN }, 'TUBE_OD'],
    ['od infinite', { ...tube, odMm: Infinity }, 'TUBE_OD'],
    ['wall 0', { ...tube, wallMm: 0 }, 'TUBE_WALL'],
    ['wall below 0', { ...tube, wallMm: -1 }, 'TUBE_WALL'],
    ['wall over half', { ...tube, wallMm: 19.06 }, 'TUBE_WALL'],
    ['wall NaN', { ...tube, wallMm: Number.NaN }, 'TUBE_WALL'],
    ['radius under half the od', { ...tube, clrMm: 19 }, 'DIE_RADIUS'],
    ['radius NaN', { ...tube, clrMm: Number.NaN }, 'DIE_RADIUS'],
    ['radius infinite', { ...tube, clrMm: Infinity }, 'DIE_RADIUS'],
  ])('%s', (_name, at, code) => {
    expect(() => secondMomentMm4(at)).toThrow(expect.objectContaining({ code }))
    expect(() => bendingMomentNmm(at, steel)).toThrow(expect.objectContaining({ code }))
    expect(() => springbackSlope(at, steel, 1)).toThrow(expect.objectContaining({ code }))
  })

  it.each([0, -0.5, 1.01, Number.NaN])('unloading factor %d', (factor) => {
    const code = 'UNLOADING_FACTOR'
    expect(() => springbackSlope(tube, steel, factor)).toThrow(expect.objectContaining({ code }))
  })

  it('a law out of range', () => {
    const code = 'YIELD'
    const law = { ...steel, yieldMpa: -1 }
    expect(() => bendingMomentNmm(tube, law)).toThrow(expect.objectContaining({ code }))
  })
})
