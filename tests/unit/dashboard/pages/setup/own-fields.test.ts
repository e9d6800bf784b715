import { describe, expect, test } from 'vitest'
import { BOAT_RAIL } from '../../../../../dashboard/pages/setup/fields.ts'
import { firstBendAsk } from '../../../../../dashboard/pages/setup/first-bend-ask.ts'
import {
  metalTexts,
  ownProblemsOf,
  readMetal,
  shownFields,
} from '../../../../../dashboard/pages/setup/own-fields.ts'
import { words } from '../../../../../dashboard/words/en.ts'
import { wholeFigures } from '../../../../../server/bend/tube-metal.ts'

const BRONZE = {
  ...BOAT_RAIL,
  material: 'own',
  ownName: ' Silicon bronze ',
  modulus: '105',
  yield: '31.2 ksi',
  tangent: '1,3 GPa',
  source: 'certificate of the mill',
}
const POWER = { ...BRONZE, hardening: 'power', strength: '640', exponent: '0,27' }

describe('a metal of the shop’s own in the form', () => {
  test('of the table shows no field of its own, and asks for none', () => {
    expect(shownFields(BOAT_RAIL)).toEqual([])
    expect(ownProblemsOf({ ...BOAT_RAIL, modulus: 'stiff' })).toEqual({})
    expect(readMetal(BOAT_RAIL)).toEqual({ material: '316l-annealed' })
  })

  test('is read in the units that were typed', () => {
    expect(ownProblemsOf(BRONZE)).toEqual({})
    expect(readMetal(BRONZE)).toEqual({
      material: 'Silicon bronze',
      ownMaterial: {
        knownFrom: 'figures',
        source: 'certificate of the mill',
        modulusGpa: 105,
        yieldMpa: 215.116428,
        tangentModulusMpa: 1300,
      },
    })
  })

  test('K and n take the place of the tangent modulus, whatever was typed there', () => {
    const { ownMaterial } = readMetal({ ...POWER, unloading: '0.88', spread: '12,5' })
    expect(ownMaterial).toMatchObject({ strengthMpa: 640, exponent: 0.27 })
    expect(ownMaterial).toMatchObject({ unloadingFactor: 0.88, slopeSpread: 0.125 })
    expect(ownMaterial).not.toHaveProperty('tangentModulusMpa')
  })

  test('that is not known has a name and nothing else', () => {
    const van = { ...BRONZE, material: 'bends', ownName: 'From the van' }
    expect(shownFields(van)).toEqual(['ownName'])
    expect(readMetal(van)).toEqual({
      material: 'From the van',
      ownMaterial: { knownFrom: 'bends' },
    })
  })

  test.each([
    ['ownName', '', words.setup.required],
    ['source', '  ', words.setup.required],
    ['modulus', '-105', words.material.notStress],
    ['yield', '31.2 tons', words.material.notStress],
    ['exponent', 'n', words.setup.notNumber],
    ['spread', '12 percent', words.setup.notNumber],
  ] as const)('%s "%s" is answered beside the field', (field, text, sentence) => {
    expect(ownProblemsOf({ ...POWER, [field]: text })).toEqual({ [field]: sentence })
  })

  test('what the daemon filled in stays empty, what was given stands there', () => {
    const { material, ownMaterial } = readMetal({ ...POWER, spread: '15' })
    const texts = metalTexts(material, ownMaterial ? wholeFigures(ownMaterial) : null)
    expect(texts).toMatchObject({ unloading: '', spread: '15', hardening: 'power', tangent: '' })
    expect(readMetal({ ...BOAT_RAIL, ...texts })).toEqual({ material, ownMaterial })
  })

  test('a spread comes back to the digit', () => {
    for (const spread of ['2', '7', '12.5', '33.33', '57', '100']) {
      const { material, ownMaterial } = readMetal({ ...POWER, spread })
      expect(metalTexts(material, ownMaterial ?? null).spread).toBe(spread)
    }
  })
})

describe('what the numbers foretell is asked for', () => {
  test('at 90°, once tube, radius and metal are told', () => {
    expect(firstBendAsk(BOAT_RAIL, 'mm')).toEqual({
      die: { clrMm: 114.3 },
      tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed' },
      wantedDeg: 90,
    })
    expect(firstBendAsk(BRONZE, 'in')?.tube.ownMaterial?.yieldMpa).toBe(215.116428)
  })

  test.each([
    { od: '' },
    { wall: 'thin' },
    { clr: '0' },
    { material: '' },
    { material: 'own' },
    { material: 'bends', ownName: ' ' },
  ])('not while %j', (change) => {
    expect(firstBendAsk({ ...BOAT_RAIL, ...change }, 'mm')).toBeNull()
  })
})
