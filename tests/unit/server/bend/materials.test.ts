import { describe, expect, it } from 'vitest'
import { MATERIALS, materialOf } from '../../../../server/bend/materials.ts'
import { springbackSlope } from '../../../../server/bend/section.ts'
import { checkLaw } from '../../../../server/bend/section-law.ts'

/** Records hold these: a key may be added, never changed or dropped. */
const KEYS = [
  '1020-dom',
  '1026-dom',
  '1020-erw',
  '1010-erw',
  '1020-normalised',
  '4130-normalised',
  '304l-annealed',
  '316l-annealed',
  '6061-t6',
  '6061-t4',
  '6063-t5',
  'ti-grade-2',
  'ti-grade-9',
  'copper-soft',
  'copper-half-hard',
]

describe('the material table', () => {
  it('has every key that records may hold, once', () => {
    expect(MATERIALS.map(({ key }) => key)).toEqual(KEYS)
  })

  it.each(MATERIALS.map((material) => [material.key, material] as const))(
    '%s: constants in range, a source for each',
    (key, material) => {
      expect(key).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/)
      expect(() => checkLaw(material.law)).not.toThrow()
      expect(material.unloadingFactor).toBeGreaterThan(0.8)
      expect(material.unloadingFactor).toBeLessThanOrEqual(1)
      expect(material.slopeSpread).toBeGreaterThanOrEqual(0.1)
      expect(material.slopeSpread).toBeLessThanOrEqual(0.3)
      for (const source of Object.values(material.sources))
        expect(source).toMatch(/from memory|judgement|doi /)
    },
  )

  it.each(KEYS)('%s takes a set on a usual die (R/D 3)', (key) => {
    const { law, unloadingFactor } = materialOf(key)
    const slope = springbackSlope({ odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }, law, unloadingFactor)
    expect(slope).toBeGreaterThan(0.01)
    expect(slope).toBeLessThan(0.07)
  })
})

describe('materialOf', () => {
  it.each(KEYS)('%s', (key) => expect(materialOf(key).key).toBe(key))

  it.each(['', '316L-annealed', ' 1020-dom', 'toString', '__proto__'])(
    '"%s" is refused with the keys that are known',
    (key) => {
      expect(() => materialOf(key)).toThrow(expect.objectContaining({ code: 'MATERIAL_UNKNOWN' }))
      expect(() => materialOf(key)).toThrow(KEYS.join(', '))
    },
  )
})
