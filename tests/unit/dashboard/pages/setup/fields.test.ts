import { Value } from 'typebox/value'
import { describe, expect, test } from 'vitest'
import {
  BOAT_RAIL,
  EMPTY,
  FIELDS,
  fieldOf,
  problemsOf,
  readForm,
  textsOf,
} from '../../../../../dashboard/pages/setup/fields.ts'
import { OWN_FIELDS, type OwnField } from '../../../../../dashboard/pages/setup/own-fields.ts'
import { words } from '../../../../../dashboard/words/en.ts'
import { length } from '../../../../../dashboard/words/format.ts'
import { MATERIALS } from '../../../../../server/bend/materials.ts'
import { OwnMaterial } from '../../../../../server/messages/material.ts'
import { Job, Setup } from '../../../../../server/messages/setup.ts'
import { SHOP_JOB, SHOP_SETUP } from '../../../../support/fake-bend.ts'

const SENSOR = SHOP_SETUP.sensor

describe('the set-up form', () => {
  test('the example is whole, and what the daemon takes', () => {
    expect(problemsOf(BOAT_RAIL, 'mm')).toEqual({})
    const { setup, job } = readForm(BOAT_RAIL, 'mm', SENSOR)
    expect(Value.Check(Setup, setup)).toBe(true)
    expect(Value.Check(Job, job)).toBe(true)
    expect(MATERIALS.map(({ key }) => key)).toContain(setup.tube.material)
  })

  test('the example is of a tube of 38.1 x 1.65 mm on a radius of 114.3 mm in either unit', () => {
    for (const unit of ['mm', 'in'] as const) {
      const { setup } = readForm(BOAT_RAIL, unit, SENSOR)
      expect(setup.tube).toMatchObject({ odMm: 38.1, wallMm: 1.65 })
      expect(setup.die).toMatchObject({ odMm: 38.1, clrMm: 114.3 })
    }
  })

  test('an empty form asks for what has no safe default', () => {
    const asked = Object.keys(problemsOf(EMPTY, 'mm'))
    expect(asked).toEqual([
      ...['station', 'dieName', 'dieOd', 'clr', 'od', 'wall', 'material', 'lot', 'part'],
      ...['wanted', 'operator'],
    ])
  })

  test.each([
    ['od', 'wide', words.setup.notLength],
    ['wall', '-1', words.setup.notLength],
    ['clr', '0', words.setup.notLength],
    ['wanted', 'ninety', words.setup.notNumber],
    ['tolerance', '±1', words.setup.notNumber],
    ['piece', '1.5', words.setup.notWhole],
    ['bend', '-1', words.setup.notWhole],
    ['lot', '   ', words.setup.required],
  ] as const)('%s "%s" is answered beside the field', (field, text, sentence) => {
    expect(problemsOf({ ...BOAT_RAIL, [field]: text }, 'mm')).toEqual({ [field]: sentence })
  })

  const SILICON_BRONZE = {
    ...SHOP_SETUP.tube,
    material: 'Silicon bronze',
    ownMaterial: {
      knownFrom: 'figures',
      source: 'certificate of the mill',
      modulusGpa: 105,
      yieldMpa: 215.5,
      strengthMpa: 640,
      exponent: 0.27,
      unloadingFactor: 0.88,
      slopeSpread: 0.125,
    },
  } as const

  test.each([
    ['of the table', SHOP_SETUP.tube],
    ['by K and n', SILICON_BRONZE],
    [
      'not known',
      { ...SHOP_SETUP.tube, material: 'From the van', ownMaterial: { knownFrom: 'bends' } },
    ],
  ] as const)('what is in force comes back unchanged through the form: %s', (_name, tube) => {
    const setup = { ...SHOP_SETUP, tube }
    const texts = textsOf(setup, SHOP_JOB, (mm) => length(mm, 'mm'))
    expect(problemsOf(texts, 'mm')).toEqual({})
    expect(readForm(texts, 'mm', SHOP_SETUP.sensor)).toEqual({ setup, job: SHOP_JOB })
  })

  test('a revision of the drawing may be left empty, and comes back as it was typed', () => {
    expect(readForm(BOAT_RAIL, 'mm', SENSOR).job).not.toHaveProperty('drawingRevision')
    const { job, setup } = readForm({ ...BOAT_RAIL, revision: ' C ' }, 'mm', SENSOR)
    expect(job.drawingRevision).toBe('C')
    expect(Value.Check(Job, job)).toBe(true)
    expect(textsOf(setup, job, String).revision).toBe('C')
  })

  test('so may the angle finder', () => {
    expect(readForm(BOAT_RAIL, 'mm', SENSOR).job).not.toHaveProperty('angleFinder')
    const { job, setup } = readForm({ ...BOAT_RAIL, finder: ' F-3 ' }, 'mm', SENSOR)
    expect(job.angleFinder).toBe('F-3')
    expect(Value.Check(Job, job)).toBe(true)
    expect(textsOf(setup, job, String).finder).toBe('F-3')
  })

  test('with nothing in force the form is empty', () => {
    expect(textsOf(null, null, String)).toEqual(EMPTY)
  })

  test('names are trimmed', () => {
    expect(readForm({ ...BOAT_RAIL, lot: '  B 7 ' }, 'mm', SENSOR).setup.tube.lot).toBe('B 7')
  })
})

describe('what a go and a tube cost', () => {
  const costs = (costGo: string, costTube: string) => ({ ...BOAT_RAIL, costGo, costTube })

  test('is left out of the job where nobody says it', () => {
    expect(readForm(BOAT_RAIL, 'mm', SENSOR).job).not.toHaveProperty('costs')
  })

  test('is sent, and comes back through the form', () => {
    const { setup, job } = readForm(costs('2', '30'), 'mm', SENSOR)
    expect(job.costs).toEqual({ oneMoreGo: 2, scrap: 30 })
    expect(Value.Check(Job, job)).toBe(true)
    const texts = textsOf(setup, job, (mm) => length(mm, 'mm'))
    expect([texts.costGo, texts.costTube]).toEqual(['2', '30'])
  })

  test('is asked for whole: one without the other is no ratio', () => {
    expect(problemsOf(costs('2', ''), 'mm')).toEqual({ costTube: words.setup.costsBoth })
    expect(problemsOf(costs('', '30'), 'mm')).toEqual({ costGo: words.setup.costsBoth })
    expect(problemsOf(costs('two', '30'), 'mm')).toEqual({ costGo: words.setup.notNumber })
  })
})

describe('the daemon names a field', () => {
  test.each([
    ['die.odMm', 'dieOd'],
    ['/die/odMm', 'dieOd'],
    ['/tube/wallMm', 'wall'],
    ['body/tube/lot', 'lot'],
    ['/wantedDeg', 'wanted'],
    ['bendNumber', 'bend'],
    ['station', 'station'],
    ['tube.ownMaterial.modulusGpa', 'modulus'],
    ['/tube/ownMaterial/slopeSpread', 'spread'],
    ['tube.ownMaterial.source', 'source'],
  ])('%s: the form shows it at %s', (path, field) => {
    expect(fieldOf(path)).toBe(field)
  })

  test.each([undefined, '', '/', 'sensor.mount', 'nowhere', '/constructor'])(
    '%s: the form has no such field, so it is said over the form',
    (path) => {
      expect(fieldOf(path)).toBeNull()
    },
  )

  test('every field of the form can be named', () => {
    const plan = { toleranceFrom: 'm', leg: '100', plan: 'plan' }
    const optional = { revision: 'C', finder: 'F-3', costGo: '2', costTube: '30', ...plan }
    const { setup, job } = readForm({ ...BOAT_RAIL, ...optional }, 'mm', SENSOR)
    const keysIn = (name: string, value: unknown) =>
      typeof value === 'object' ? Object.keys(value ?? {}).map((key) => `${name}.${key}`) : [name]
    const paths = [
      ...[...Object.entries(setup), ...Object.entries(job)].flatMap(([name, value]) =>
        keysIn(name, value),
      ),
    ]
    const named = new Set(paths.map(fieldOf).filter((field) => field !== null))
    const withoutMetal = FIELDS.filter((field) => !OWN_FIELDS.includes(field as OwnField))
    // Whether there is a plan at all is no field of the daemon's.
    expect([...named, 'plan'].sort()).toEqual([...withoutMetal].sort())
  })

  test('every field of a metal of the shop’s own can be named, but for what the form alone asks', () => {
    const figures = Object.keys(OwnMaterial.properties)
    const named = figures.map((name) => fieldOf(`tube.ownMaterial.${name}`))
    expect(OWN_FIELDS.filter((field) => !named.includes(field))).toEqual(['ownName', 'hardening'])
  })
})
