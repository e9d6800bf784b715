import { describe, expect, test } from 'vitest'
import { MATERIALS } from '../../server/bend/materials.ts'
import type { MaterialRow, OwnMaterial } from '../../server/messages/material.ts'
import { SHOP_SETUP } from '../support/fake-bend.ts'
import { type App, makeWeb } from '../support/web.ts'

const BRONZE: OwnMaterial = {
  knownFrom: 'figures',
  source: 'certificate of the mill',
  modulusGpa: 105,
  yieldMpa: 200,
  tangentModulusMpa: 1300,
}
const WHOLE = { ...BRONZE, slopeSpread: 0.22, unloadingFactor: 0.9 }
const setupOf = (material: string, ownMaterial: object, lot = 'A') => ({
  ...SHOP_SETUP,
  tube: { ...SHOP_SETUP.tube, material, ownMaterial, lot },
})
const put = (app: App, payload: object) =>
  app.inject({ method: 'PUT', url: '/api/station/setup', payload })
const list = async (app: App): Promise<MaterialRow[]> => (await app.inject('/api/materials')).json()

describe('GET /api/materials', () => {
  test('lists every material of the table by key and name, with its sources', async () => {
    const { app } = makeWeb()
    const rows = await list(app)
    expect(rows.map(({ key }) => key)).toEqual(MATERIALS.map(({ key }) => key))
    for (const { name, sources, ownMaterial } of rows) {
      expect(name).not.toBe('')
      expect(Object.values(sources).join('')).not.toBe('')
      expect(ownMaterial).toBeNull()
    }
  })

  test('then each metal of the shop’s own once, that of the newest set-up first', async () => {
    const { app } = makeWeb({ auto: false })
    await put(app, setupOf('Silicon bronze', BRONZE))
    await put(app, setupOf('From the van', { knownFrom: 'bends' }))
    await put(app, setupOf('Silicon bronze', BRONZE, 'another lot'))
    await put(app, setupOf('Silicon bronze', { ...BRONZE, yieldMpa: 220 }))
    const own = (await list(app)).slice(MATERIALS.length)
    expect(own.map(({ name, ownMaterial }) => [name, ownMaterial?.yieldMpa])).toEqual([
      ['Silicon bronze', 220],
      ['Silicon bronze', 200],
      ['From the van', 360],
    ])
    expect(own[1]).toMatchObject({ key: 'Silicon bronze', ownMaterial: WHOLE })
    expect(own[1]?.sources.yield).toBe('certificate of the mill')
  })

  test('what it offers can be put into use as it is', async () => {
    const { app } = makeWeb({ auto: false })
    await put(app, setupOf('Silicon bronze', BRONZE))
    const row = (await list(app)).at(-1)
    const again = await put(app, setupOf(row?.key ?? '', row?.ownMaterial ?? {}))
    expect(again.json().id).toBe(2)
  })
})

describe('PUT /api/station/setup with a metal of the shop’s own', () => {
  test('stores what was left out, so that the set-up says everything by itself', async () => {
    const { app, station } = makeWeb({ auto: false })
    const answer = await put(app, setupOf('Silicon bronze', BRONZE))
    expect(answer.statusCode).toBe(200)
    const judged = ['slopeSpread', 'unloadingFactor']
    expect(answer.json().setup.tube).toMatchObject({
      material: 'Silicon bronze',
      ownMaterial: { ...WHOLE, judged },
    })
    expect(station.history.setups()[0]?.setup.tube.ownMaterial).toEqual({ ...WHOLE, judged })
  })

  const of = (change: object) => setupOf('Silicon bronze', { ...BRONZE, ...change })
  test.each([
    [of({ modulusGpa: 0 }), 'tube.ownMaterial.modulusGpa', 'from 1 to 1000 GPa'],
    [of({ yieldMpa: 4000 }), 'tube.ownMaterial.yieldMpa', 'check the units'],
    [of({ yieldMpa: -1 }), 'tube.ownMaterial.yieldMpa', 'more than 0 MPa'],
    [of({ yieldMpa: '200' }), 'tube.ownMaterial.yieldMpa', 'must be a number'],
    [of({ tangentModulusMpa: -1 }), 'tube.ownMaterial.tangentModulusMpa', 'from 0 MPa'],
    [of({ exponent: 0.2 }), 'tube.ownMaterial.tangentModulusMpa', 'one hardening'],
    [of({ unloadingFactor: 2 }), 'tube.ownMaterial.unloadingFactor', 'at most 1'],
    [of({ slopeSpread: 22 }), 'tube.ownMaterial.slopeSpread', 'between 0.02 and 1'],
    [of({ source: '' }), 'tube.ownMaterial.source', 'must not be empty'],
    [of({ source: undefined }), 'tube.ownMaterial.source', 'needs a source'],
    [of({ modulusGpa: undefined }), 'tube.ownMaterial.modulusGpa', "needs Young's modulus"],
    [of({ knownFrom: 'hearsay' }), 'tube.ownMaterial.knownFrom', 'must be one of'],
    [of({ colour: 'red' }), 'tube.ownMaterial.colour', 'not known here'],
    [setupOf('6061-T6', BRONZE), 'tube.material', 'is in the table as 6061-t6'],
    [setupOf('…', BRONZE), 'tube.material', 'needs a letter or digit'],
    [
      { ...SHOP_SETUP, tube: { ...SHOP_SETUP.tube, material: 'bronze' } },
      'tube.material',
      'no material "bronze"',
    ],
    [{ ...SHOP_SETUP, tube: { ...SHOP_SETUP.tube, wallMm: 30 } }, 'tube.wallMm', 'half the'],
    [{ ...SHOP_SETUP, die: { ...SHOP_SETUP.die, clrMm: 15 } }, 'die.clrMm', 'half the diameter'],
  ])('refuses %j at %s', async (setup, field, words) => {
    const { app, station } = makeWeb({ auto: false })
    const answer = await put(app, setup)
    expect(answer.statusCode).toBe(400)
    expect(answer.json()).toMatchObject({ code: 'bad-input', field })
    expect(answer.json().sentence).toContain(words)
    expect(station.history.setups()).toHaveLength(1)
  })
})

describe('POST /api/first-bend', () => {
  const RAIL = { die: { clrMm: 114.3 }, tube: { odMm: 38.1, wallMm: 1.65 }, wantedDeg: 90 }
  const foretell = (app: App, tube: object, change: object = {}) =>
    app.inject({
      method: 'POST',
      url: '/api/first-bend',
      payload: { ...RAIL, ...change, tube: { ...RAIL.tube, ...tube } },
    })

  test('foretells springback with its interval, and needs no set-up', async () => {
    const { app, station } = makeWeb({ ready: false })
    const bend = (await foretell(app, { material: '316l-annealed' })).json()
    expect(bend.lowDeg).toBeLessThan(bend.springbackDeg)
    expect(bend.highDeg).toBeGreaterThan(bend.springbackDeg)
    expect(bend.loadedDeg - bend.springbackDeg).toBeCloseTo(90, 9)
    expect(bend.note).toBeNull()
    expect(station.history.setups()).toEqual([])
  })

  test('of an unknown metal the interval is wider than of a known one', async () => {
    const { app } = makeWeb()
    const [known, unknown] = await Promise.all(
      [BRONZE, { knownFrom: 'bends' }].map(async (ownMaterial) =>
        (await foretell(app, { material: 'Van', ownMaterial })).json(),
      ),
    )
    expect(unknown.highDeg - unknown.lowDeg).toBeGreaterThan(1.3 * (known.highDeg - known.lowDeg))
  })

  test('warns with a source, and gives no angle for a tube that takes no set', async () => {
    const { app } = makeWeb()
    const thin = await foretell(app, { material: '316l-annealed', wallMm: 0.7 })
    expect(thin.json().warnings[0]).toMatchObject({ code: 'collapses' })
    expect(thin.json().warnings[0].source).toContain('ASME')
    const limp = await foretell(app, { material: 'ti-grade-9' }, { die: { clrMm: 5000 } })
    expect(limp.json()).toMatchObject({ loadedDeg: null, springbackDeg: null, lowDeg: null })
    expect(limp.json().note).toContain('will not take a set')
    expect(limp.json().warnings.map(({ code }: { code: string }) => code)).toEqual(['no-set'])
  })

  test.each([
    [{ material: 'bronze' }, {}, 'tube.material'],
    [{ material: '316l-annealed', wallMm: 30 }, {}, 'tube.wallMm'],
    [{ material: '316l-annealed' }, { die: { clrMm: 10 } }, 'die.clrMm'],
    [{ material: '316l-annealed' }, { wantedDeg: 0 }, 'wantedDeg'],
    [{ material: '316l-annealed' }, { die: { clrMm: 100, name: 'x' } }, 'die.name'],
    [{ material: '316l-annealed', lot: 'A' }, {}, 'tube.lot'],
    [
      { material: 'B', ownMaterial: { ...BRONZE, modulusGpa: 0 } },
      {},
      'tube.ownMaterial.modulusGpa',
    ],
  ])('refuses %j with %j at %s', async (tube, change, field) => {
    const { app } = makeWeb()
    const answer = await foretell(app, tube, change)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().field).toBe(field)
  })
})
