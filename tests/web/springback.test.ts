import { describe, expect, test } from 'vitest'
import { HistoryError } from '../../server/history/errors.ts'
import { makeWeb, type TestWebOptions } from '../support/web.ts'

/** Samples of one whole bend of the fake station. */
const ONE_BEND = 1201

function withBends(count: number, options?: TestWebOptions) {
  const web = makeWeb(options)
  web.station.step(count * ONE_BEND)
  return web
}

function whereHistoryFails() {
  const fail = () => {
    throw new HistoryError('HISTORY_DISK_FAULT', { at: 'the folder', what: 'a test' })
  }
  return makeWeb({ wrap: (station) => ({ ...station, springback: { view: fail, lots: fail } }) })
}

describe('GET /api/springback', () => {
  test('is what is known of the set-up in use', async () => {
    const { app, station } = withBends(5)
    const answer = await app.inject('/api/springback')
    expect(answer.statusCode).toBe(200)
    const view = answer.json()
    expect(view).toEqual(station.springback.view())
    expect(view.points.map(({ id }: { id: number }) => id)).toEqual([1, 2, 3, 4, 5])
    expect(view).toMatchObject({ isInUse: true, simulated: true, setup: { id: 1 } })
  })

  test('or of the set-up that is named', async () => {
    const { app, station } = withBends(1)
    const { setup } = station.state()
    if (!setup) throw new Error('Nothing is set up.')
    const tube = { ...setup.setup.tube, lot: 'RT-2311' }
    station.useSetup({ ...setup.setup, tube })
    expect((await app.inject('/api/springback')).json()).toMatchObject({
      setup: { id: 2 },
      points: [],
    })
    const first = (await app.inject('/api/springback?setup=1')).json()
    expect(first).toMatchObject({ setup: { id: 1 }, isInUse: false, points: [{ id: 1 }] })
  })

  test('says so where nothing is set up, and where there is no such set-up', async () => {
    const { app } = makeWeb({ ready: false })
    const none = await app.inject('/api/springback')
    expect([none.statusCode, none.json().code]).toEqual([409, 'no-setup'])
    const unknown = await app.inject('/api/springback?setup=7')
    expect([unknown.statusCode, unknown.json()]).toEqual([
      404,
      { code: 'no-such-setup', sentence: 'There is no set-up number 7.' },
    ])
  })

  test.each(['setup=0', 'setup=x', 'setup=1.5', 'setup=', 'set-up=1', 'setup=9007199254740993'])(
    'refuses ?%s',
    async (query) => {
      const { app } = withBends(1)
      const answer = await app.inject(`/api/springback?${query}`)
      expect([answer.statusCode, answer.json().code]).toEqual([400, 'bad-input'])
    },
  )

  test('a decision shows at once', async () => {
    const { app } = withBends(4)
    const ask = { decision: 'taken-out', who: 'Quality', reason: 'It had slipped.' }
    const decided = await app.inject({
      ...{ method: 'POST', url: '/api/bends/3/teaching', payload: ask },
    })
    expect(decided.statusCode).toBe(200)
    const { points } = (await app.inject('/api/springback')).json()
    expect(points[2]).toMatchObject({ id: 3, standing: 'taken-out', decision: ask })
  })
})

describe('GET /api/springback/lots', () => {
  test('is empty at first', async () => {
    const { app } = makeWeb()
    const answer = await app.inject('/api/springback/lots')
    expect(answer.json()).toMatchObject({ rows: [], moreLots: 0, wantedDeg: 90 })
  })

  test('tells each lot that was bent', async () => {
    const { app, station } = withBends(3)
    const table = (await app.inject('/api/springback/lots')).json()
    expect(table).toEqual(station.springback.lots())
    expect(table.rows).toMatchObject([
      { setupId: 1, bends: 3, apart: 0, firstBend: 1, lastBend: 3, tube: { lot: 'RT-2207' } },
    ])
  })
})

test.each(['/api/springback', '/api/springback/lots'])(
  '%s: a history that cannot be read',
  async (url) => {
    const answer = await whereHistoryFails().app.inject(url)
    expect([answer.statusCode, answer.json().code]).toEqual([503, 'storage-failed'])
    expect(answer.json().sentence).toMatch(/\.$/)
  },
)
