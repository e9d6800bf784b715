import { describe, expect, it } from 'vitest'
import { aimFor } from '../../../../server/bend/aim.ts'
import { MATERIALS } from '../../../../server/bend/materials.ts'
import { ownMaterial, plainName } from '../../../../server/bend/own-material.ts'
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
    ['Bronze, our stock', 'bronze-our-stock'],
    ['  1.4571 / Ø33  ', '1-4571-ø33'],
    ['1020-dom', '1020-dom'],
    ['Ж', 'ж'],
  ])('"%s" is compared as %s, and its key is in no row of the table', (name, plain) => {
    expect(plainName(name)).toBe(plain)
    const { key } = ownMaterial({ ...bronze, name })
    expect(key).toBe(`own-${plain} 100000/300/900/0.9/0.22`)
    expect(MATERIALS.map((row) => row.key)).not.toContain(key)
  })

  it('of the same name is the same material only with the same figures', () => {
    const { key } = ownMaterial(bronze)
    expect(ownMaterial({ ...bronze, name: 'BRONZE our stock', source: 'a handbook' }).key).toBe(key)
    for (const change of [
      { name: 'Bronze, other stock' },
      { law: { ...law, modulusMpa: 100_001 } },
      { law: { ...law, yieldMpa: 301 } },
      { law: { ...law, tangentModulusMpa: 0 } },
      { slopeSpread: 0.21 },
      { unloadingFactor: 0.91 },
    ])
      expect(ownMaterial({ ...bronze, ...change }).key).not.toBe(key)
  })

  it('names the source that its owner gave', () => {
    const { sources } = ownMaterial({ ...bronze, source: 'certificate of the mill' })
    expect(sources.yield).toBe('certificate of the mill')
    expect(sources.spread).toMatch(/^judgement/)
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
