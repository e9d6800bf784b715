import { describe, expect, it } from 'vitest'
import { aimFor } from '../../../../server/bend/aim.ts'
import { MATERIALS } from '../../../../server/bend/materials.ts'
import { ownMaterial, unknownMetal } from '../../../../server/bend/own-material.ts'
import { springbackSlope } from '../../../../server/bend/section.ts'
import type { StressStrainLaw } from '../../../../server/bend/section-law.ts'
import { priorFor } from '../../../../server/bend/springback.ts'

const law = {
  kind: 'bilinear',
  modulusMpa: 100e3,
  yieldMpa: 300,
  tangentModulusMpa: 900,
} as const
const bronze = { name: 'Bronze, our stock', law }
const rail = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }

describe('ownMaterial', () => {
  it('is a material like those of the table, said to be its owner’s', () => {
    const material = ownMaterial({ ...bronze, slopeSpread: 0.1, unloadingFactor: 0.95 })
    expect(material).toMatchObject({ name: 'Bronze, our stock', law, slopeSpread: 0.1 })
    expect(Object.values(material.sources)).toEqual(Array(5).fill('given by its owner'))
    expect(aimFor(priorFor(rail, material), 90).commandedDeg).toBeGreaterThan(91)
  })

  it('what its owner does not know is judged, and said to be', () => {
    const { slopeSpread, unloadingFactor, sources } = ownMaterial(bronze)
    expect([slopeSpread, unloadingFactor]).toEqual([0.22, 0.9])
    expect(sources.spread).toMatch(/^judgement/)
    expect(sources.unloading).toMatch(/^judgement/)
  })

  it.each([
    ['Bronze, our stock', 'own-bronze-our-stock'],
    ['  1.4571 / Ø33  ', 'own-1-4571-ø33'],
    ['1020-dom', 'own-1020-dom'],
    ['Ж', 'own-ж'],
  ])('"%s" has the key %s, which no row of the table has', (name, key) => {
    expect(ownMaterial({ ...bronze, name }).key).toBe(key)
    expect(MATERIALS.map((row) => row.key)).not.toContain(key)
  })

  it.each([
    ['no name', { ...bronze, name: '' }, 'MATERIAL_NAME'],
    ['a name of blanks', { ...bronze, name: ' – ' }, 'MATERIAL_NAME'],
    ['a name without end', { ...bronze, name: 'x'.repeat(61) }, 'MATERIAL_NAME'],
    ['a modulus of 0', { ...bronze, law: { ...law, modulusMpa: 0 } }, 'MODULUS'],
    ['a modulus below 0', { ...bronze, law: { ...law, modulusMpa: -1 } }, 'MODULUS'],
    ['a modulus typed in GPa', { ...bronze, law: { ...law, modulusMpa: 1000 } }, 'YIELD_STRAIN'],
    ['a yield below 0', { ...bronze, law: { ...law, yieldMpa: -300 } }, 'YIELD'],
    ['a yield typed in Pa', { ...bronze, law: { ...law, yieldMpa: 300e6 } }, 'YIELD_STRAIN'],
    ['hardening below 0', { ...bronze, law: { ...law, tangentModulusMpa: -1 } }, 'TANGENT_MODULUS'],
    ['no spread', { ...bronze, slopeSpread: 0 }, 'SLOPE_SPREAD'],
    ['a spread in percent', { ...bronze, slopeSpread: 20 }, 'SLOPE_SPREAD'],
    ['a spread NaN', { ...bronze, slopeSpread: Number.NaN }, 'SLOPE_SPREAD'],
    ['unloading 0', { ...bronze, unloadingFactor: 0 }, 'UNLOADING_FACTOR'],
    ['unloading over 1', { ...bronze, unloadingFactor: 1.1 }, 'UNLOADING_FACTOR'],
  ])('refuses %s in one sentence', (_name, metal, code) => {
    expect(() => ownMaterial(metal)).toThrow(expect.objectContaining({ code }))
    expect(() => ownMaterial(metal)).toThrow(/^[A-Z][^\n]*\.$/)
  })

  it('refuses a metal without a modulus, as untyped input may bring one', () => {
    const { modulusMpa: _gone, ...rest } = law
    const metal = { ...bronze, law: rest as unknown as StressStrainLaw }
    expect(() => ownMaterial(metal)).toThrow("Young's modulus must be more than 0 MPa and finite")
  })

  it('refuses constants of a power law out of range', () => {
    const power = { kind: 'power', modulusMpa: 100e3, yieldMpa: 200, strengthMpa: 700 } as const
    const of = (exponent: number) => ownMaterial({ ...bronze, law: { ...power, exponent } })
    expect(of(0.3).law).toMatchObject({ exponent: 0.3 })
    expect(() => of(0)).toThrow(expect.objectContaining({ code: 'EXPONENT' }))
    expect(() => of(Number.NaN)).toThrow(expect.objectContaining({ code: 'EXPONENT' }))
  })
})

describe('unknownMetal', () => {
  const slopes = MATERIALS.map((row) => springbackSlope(rail, row.law, row.unloadingFactor))
  const mean = slopes.reduce((sum, slope) => sum + slope, 0) / slopes.length
  const sd = Math.sqrt(
    slopes.reduce((sum, slope) => sum + (slope - mean) ** 2, 0) / (slopes.length - 1),
  )

  it('starts from the middle of the table, with the spread of the table', () => {
    const metal = unknownMetal('What came in the van')
    const slope = springbackSlope(rail, metal.law, metal.unloadingFactor)
    expect(Math.abs(slope / mean - 1)).toBeLessThan(0.02)
    expect(Math.abs(metal.slopeSpread / (sd / mean) - 1)).toBeLessThan(0.05)
  })

  it('says that nothing is known', () => {
    const { sources, key } = unknownMetal('Brass')
    expect(key).toBe('own-brass')
    expect(sources.yield).toBe('not known: the middle of the table')
  })

  it('refuses a name that is none', () => {
    expect(() => unknownMetal('?')).toThrow(expect.objectContaining({ code: 'MATERIAL_NAME' }))
  })
})
