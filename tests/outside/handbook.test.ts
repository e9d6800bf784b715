import { describe, expect, it } from 'vitest'
import { aimFor } from '../../server/bend/aim.ts'
import { materialOf } from '../../server/bend/materials.ts'
import { springbackSlope } from '../../server/bend/section.ts'
import { priorFor } from '../../server/bend/springback.ts'

/**
 * Least yield of the standard's grade, MPa, and least tensile strength; ASTM tables, from memory.
 */
const MINIMA: readonly (readonly [key: string, yieldMpa: number])[] = [
  ['1020-dom', 414],
  ['1026-dom', 517],
  ['1020-erw', 262],
  ['1010-erw', 221],
  ['1020-normalised', 221],
  ['4130-normalised', 448],
  ['304l-annealed', 170],
  ['316l-annealed', 170],
  ['6061-t6', 241],
  ['6061-t4', 110],
  ['6063-t5', 110],
  ['ti-grade-2', 276],
  ['ti-grade-9', 483],
  ['copper-soft', 62],
  ['copper-half-hard', 205],
]

describe('materials against the minima of their standards (ASTM, from memory)', () => {
  it.each(MINIMA)('%s yields at no less than %d MPa, and at most 1.45 of it', (key, minimum) => {
    const { yieldMpa } = materialOf(key).law
    expect(yieldMpa).toBeGreaterThanOrEqual(minimum)
    expect(yieldMpa).toBeLessThanOrEqual(1.45 * minimum)
  })

  it('titanium grade 2 stays below its largest allowed yield, 450 MPa', () => {
    expect(materialOf('ti-grade-2').law.yieldMpa).toBeLessThan(450)
  })
})

describe('Young’s moduli (handbook values, GPa)', () => {
  it.each([
    ['1020-dom', 200, 210],
    ['4130-normalised', 200, 210],
    ['304l-annealed', 190, 200],
    ['6061-t6', 68, 70],
    ['ti-grade-2', 100, 110],
    ['ti-grade-9', 100, 110],
    ['copper-soft', 110, 130],
  ])('%s: %d to %d', (key, lowGpa, highGpa) => {
    const gpa = materialOf(key).law.modulusMpa / 1000
    expect(gpa).toBeGreaterThanOrEqual(lowGpa)
    expect(gpa).toBeLessThanOrEqual(highGpa)
  })
})

describe('what shops see', () => {
  const tube = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }

  it.each(['1020-dom', '1026-dom', '4130-normalised', '304l-annealed', '316l-annealed', '6061-t6'])(
    '%s at 90°, R/D 3: over-bend of 3 to 8 % (common practice, no source)',
    (key) => {
      const { commandedDeg } = aimFor(priorFor(tube, materialOf(key)), 90)
      const share = ((commandedDeg ?? Number.NaN) - 90) / 90
      expect(share).toBeGreaterThan(0.028)
      expect(share).toBeLessThan(0.08)
    },
  )

  it('titanium springs back more than steel, drawn steel more than welded (same practice)', () => {
    const slope = (key: string) => {
      const { law, unloadingFactor } = materialOf(key)
      return springbackSlope(tube, law, unloadingFactor)
    }
    expect(slope('ti-grade-9')).toBeGreaterThan(2 * slope('1020-dom'))
    expect(slope('1026-dom')).toBeGreaterThan(slope('1020-dom'))
    expect(slope('1020-dom')).toBeGreaterThan(slope('1020-erw'))
    expect(slope('copper-half-hard')).toBeGreaterThan(slope('copper-soft'))
  })

  it('hardening, not yield, makes annealed stainless spring back like drawn mild steel', () => {
    // Jiang et al., Mater. Des. 31 (2010) 2001–2010 (abstract): E, K and n weigh most.
    const stainless = materialOf('304l-annealed')
    const { modulusMpa, yieldMpa } = stainless.law
    const plastic = { kind: 'bilinear', modulusMpa, yieldMpa, tangentModulusMpa: 0 } as const
    const hardened = springbackSlope(tube, stainless.law, 1)
    expect(hardened / springbackSlope(tube, plastic, 1)).toBeGreaterThan(1.3)
  })
})
