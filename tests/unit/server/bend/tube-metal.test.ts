import { describe, expect, it } from 'vitest'
import { MATERIALS, materialOf } from '../../../../server/bend/materials.ts'
import { springbackSlope } from '../../../../server/bend/section.ts'
import {
  materialOfTube,
  type OwnFigures,
  type TubeMetal,
  wholeFigures,
} from '../../../../server/bend/tube-metal.ts'

const rail = { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }
const BRONZE: OwnFigures = {
  knownFrom: 'figures',
  source: 'certificate of the mill',
  modulusGpa: 105,
  yieldMpa: 200,
  tangentModulusMpa: 1300,
}
const POWER: OwnFigures = {
  knownFrom: 'figures',
  source: 'a tensile test',
  modulusGpa: 105,
  yieldMpa: 200,
  strengthMpa: 600,
  exponent: 0.3,
}
const UNKNOWN: OwnFigures = { knownFrom: 'bends' }
const bronze = (change: Partial<OwnFigures> = {}, name = 'Silicon bronze'): TubeMetal => ({
  material: name,
  ownMaterial: { ...BRONZE, ...change },
})
const without = (figures: OwnFigures, name: keyof OwnFigures): OwnFigures => {
  const { [name]: _gone, ...rest } = figures
  return rest as OwnFigures
}

describe('what a tube is made of', () => {
  it('is a row of the table by its key', () => {
    expect(materialOfTube({ material: '316l-annealed' })).toBe(materialOf('316l-annealed'))
  })

  it('is the shop’s own by its figures: GPa in, MPa in the law', () => {
    expect(materialOfTube(bronze())).toMatchObject({
      name: 'Silicon bronze',
      law: { kind: 'bilinear', modulusMpa: 105_000, yieldMpa: 200, tangentModulusMpa: 1300 },
      unloadingFactor: 0.9,
      slopeSpread: 0.22,
    })
    expect(materialOfTube({ material: 'B', ownMaterial: POWER }).law).toEqual({
      kind: 'power',
      modulusMpa: 105_000,
      yieldMpa: 200,
      strengthMpa: 600,
      exponent: 0.3,
    })
  })

  it('tells what is its owner’s and what is judgement, also from the whole figures', () => {
    const ownMaterial = wholeFigures({ ...BRONZE, slopeSpread: 0.1 })
    for (const metal of [bronze({ slopeSpread: 0.1 }), { material: 'Silicon bronze', ownMaterial }])
      expect(materialOfTube(metal).sources).toEqual({
        modulus: 'certificate of the mill',
        yield: 'certificate of the mill',
        hardening: 'certificate of the mill',
        unloading: 'judgement: not given by its owner',
        spread: 'certificate of the mill',
      })
  })
})

describe('figures made whole', () => {
  it.each([
    ['both left out', BRONZE, { unloadingFactor: 0.9, slopeSpread: 0.22 }, 2],
    ['one given', { ...BRONZE, slopeSpread: 0.1 }, { unloadingFactor: 0.9, slopeSpread: 0.1 }, 1],
    [
      'both given',
      { ...BRONZE, slopeSpread: 0.1, unloadingFactor: 0.8 },
      { unloadingFactor: 0.8, slopeSpread: 0.1 },
      0,
    ],
  ])('%s: the same once more', (_name, given, filled, judged) => {
    const whole = wholeFigures(given)
    expect(whole).toMatchObject({ ...given, ...filled })
    expect(whole.judged?.length ?? 0).toBe(judged)
    expect(wholeFigures(whole)).toEqual(whole)
  })

  it('of an unknown metal are the middle of the table, and it says so', () => {
    const whole = wholeFigures(UNKNOWN)
    expect(whole).toEqual({
      knownFrom: 'bends',
      ...{ modulusGpa: 150, yieldMpa: 360, tangentModulusMpa: 1200 },
      ...{ unloadingFactor: 0.9, slopeSpread: 0.4 },
    })
    expect(wholeFigures(whole)).toEqual(whole)
    const { sources } = materialOfTube({ material: 'From the van', ownMaterial: UNKNOWN })
    expect(sources.yield).toBe('not known: the middle of the table')
    expect(sources.spread).toBe('standard deviation over the table')
  })

  it('make the same material as before they were whole', () => {
    for (const own of [BRONZE, POWER, UNKNOWN]) {
      const [given, whole] = [own, wholeFigures(own)].map((ownMaterial) =>
        materialOfTube({ material: 'Silicon bronze', ownMaterial }),
      )
      expect(whole).toEqual(given)
    }
  })

  it('of figures measured later another material than the unknown one of that name', () => {
    const [known, unknown] = [BRONZE, UNKNOWN].map(
      (ownMaterial) => materialOfTube({ material: 'Van', ownMaterial }).key,
    )
    expect(known).not.toBe(unknown)
  })
})

describe('an unknown metal', () => {
  const slopes = MATERIALS.map((row) => springbackSlope(rail, row.law, row.unloadingFactor))
  const mean = slopes.reduce((sum, slope) => sum + slope, 0) / slopes.length
  const sd = Math.sqrt(
    slopes.reduce((sum, slope) => sum + (slope - mean) ** 2, 0) / (slopes.length - 1),
  )

  it('starts from the middle of the table, with the spread of the table', () => {
    const metal = materialOfTube({ material: 'What came in the van', ownMaterial: UNKNOWN })
    const slope = springbackSlope(rail, metal.law, metal.unloadingFactor)
    expect(Math.abs(slope / mean - 1)).toBeLessThan(0.02)
    expect(Math.abs(metal.slopeSpread / (sd / mean) - 1)).toBeLessThan(0.05)
  })
})

describe('refused in one sentence', () => {
  it.each<[string, TubeMetal, string, string?]>([
    ['a key that is in no table', { material: 'bronze' }, 'MATERIAL_UNKNOWN'],
    ['a key of the table', bronze({}, '316l-annealed'), 'MATERIAL_TAKEN'],
    ['a key of the table, written otherwise', bronze({}, ' 316L (annealed) '), 'MATERIAL_TAKEN'],
    ['a name of the table', bronze({}, 'Aluminium 6061 T6'), 'MATERIAL_TAKEN'],
    [
      'an unknown one of the table',
      { ...bronze({}, '6061-T6'), ownMaterial: UNKNOWN },
      'MATERIAL_TAKEN',
    ],
    ['a name without a letter', bronze({}, '–'), 'MATERIAL_NAME'],
    ['a name without end', bronze({}, 'x'.repeat(61)), 'MATERIAL_NAME'],
    ['a modulus of 0', bronze({ modulusGpa: 0 }), 'MODULUS_GPA'],
    ['a modulus in MPa', bronze({ modulusGpa: 105_000 }), 'MODULUS_GPA'],
    ['a modulus NaN', bronze({ modulusGpa: Number.NaN }), 'MODULUS_GPA'],
    ['a yield of 0', bronze({ yieldMpa: 0 }), 'YIELD'],
    ['a yield above what the modulus allows', bronze({ yieldMpa: 3200 }), 'YIELD_STRAIN'],
    ['a tangent above Young’s', bronze({ tangentModulusMpa: 105_000 }), 'TANGENT_MODULUS'],
    ['a tangent below 0', bronze({ tangentModulusMpa: -1 }), 'TANGENT_MODULUS'],
    ['two hardenings', bronze({ strengthMpa: 600, exponent: 0.3 }), 'HARDENING_TWICE'],
    ['an exponent of 1', { material: 'B', ownMaterial: { ...POWER, exponent: 1 } }, 'EXPONENT'],
    ['an exponent of 0', { material: 'B', ownMaterial: { ...POWER, exponent: 0 } }, 'EXPONENT'],
    ['a K of 0', { material: 'B', ownMaterial: { ...POWER, strengthMpa: 0 } }, 'STRENGTH'],
    ['an unloading of 1.1', bronze({ unloadingFactor: 1.1 }), 'UNLOADING_FACTOR'],
    ['a spread in percent', bronze({ slopeSpread: 20 }), 'SLOPE_SPREAD'],
    ['a source of blanks', bronze({ source: '  ' }), 'FIGURE_MISSING', 'source'],
    ...(['source', 'modulusGpa', 'yieldMpa', 'tangentModulusMpa'] as const).map(
      (name): [string, TubeMetal, string, string] => [
        `no ${name}`,
        { material: 'B', ownMaterial: without(BRONZE, name) },
        'FIGURE_MISSING',
        name,
      ],
    ),
    ...(['strengthMpa', 'exponent'] as const).map((name): [string, TubeMetal, string, string] => [
      `no ${name} beside the other`,
      { material: 'B', ownMaterial: without(POWER, name) },
      'FIGURE_MISSING',
      name,
    ]),
  ])('%s', (_name, metal, code, figure) => {
    const facts = figure === undefined ? expect.anything() : expect.objectContaining({ figure })
    expect(() => materialOfTube(metal)).toThrow(expect.objectContaining({ code, facts }))
    expect(() => materialOfTube(metal)).toThrow(/^["A-Z][^\n]*\.$/)
  })
})
