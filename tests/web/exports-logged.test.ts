import { describe, expect, test } from 'vitest'
import { HistoryError } from '../../server/history/errors.ts'
import type { LoggedExport } from '../../server/messages/exports.ts'
import type { BendFilter } from '../../server/messages/find.ts'
import { OPERATOR, signIn, withPeople } from '../support/enrolled.ts'
import { type App, makeWeb } from '../support/web.ts'

/** Some bends of the fake shop. */
function withBends() {
  const web = makeWeb({ auto: true })
  web.station.step(3000)
  return web
}

const logged = async (app: App, headers = {}) =>
  (await app.inject({ url: '/api/exports', headers })).json() as LoggedExport[]

describe('what leaves as a file is entered in a log', () => {
  test.each<[string, string, BendFilter]>([
    ['/api/bends/export', 'csv', {}],
    ['/api/bends/export?format=json&part=Rail', 'json', { part: 'Rail' }],
    ['/api/bends/export?piece=1&voided=no', 'csv', { piece: 1, voided: 'no' }],
  ])('%s', async (url, format, filter) => {
    const { app, station } = withBends()
    const last = station.history.bend(station.history.count())
    const answer = await app.inject(url)
    expect(answer.statusCode).toBe(200)
    const { total } = station.history.summary(filter)
    expect(await logged(app)).toMatchObject([
      {
        ...{ id: 1, who: null, device: '127.0.0.1', format, filter, records: total },
        after: { number: last?.id, hash: last?.hash },
      },
    ])
  })

  test('a certificate too, with its piece', async () => {
    const { app, station } = withBends()
    const bend = station.history.bend(1)
    const ask = new URLSearchParams({ part: bend?.part ?? '', piece: String(bend?.piece) })
    expect((await app.inject(`/api/certificate?${ask}`)).statusCode).toBe(200)
    const filter = { part: bend?.part, piece: bend?.piece }
    expect(await logged(app)).toMatchObject([{ format: 'certificate', filter }])
  })

  test('what was refused, and what is only looked at on a page, is not', async () => {
    const { app } = withBends()
    for (const url of [
      '/api/bends/export?from=soon',
      '/api/bends/export?format=pdf',
      '/api/bends/signed',
      '/api/certificate?part=none',
      '/api/bends?limit=5',
      '/api/bends/1',
    ])
      await app.inject(url)
    expect(await logged(app)).toEqual([])
  })

  test('with the name of whoever is signed in; the list is for people enrolled, newest first', async () => {
    const { app } = await withPeople()
    const cookie = await signIn(app, OPERATOR)
    await app.inject('/api/bends/export')
    await app.inject({ url: '/api/bends/export?lot=L-1', headers: { cookie } })
    expect((await app.inject('/api/exports')).json().code).toBe('not-signed-in')
    const entries = await logged(app, { cookie })
    expect(entries.map(({ id, who }) => [id, who])).toEqual([
      [2, OPERATOR.name],
      [1, null],
    ])
    const older = await app.inject({ url: '/api/exports?before=2&limit=5', headers: { cookie } })
    expect(older.json()).toMatchObject([{ id: 1 }])
  })

  test('where the disk takes no entry the file leaves all the same, and both are entered later', async () => {
    let isFull = true
    const { app, logged: told } = makeWeb({
      auto: false,
      wrap: (station) => ({
        ...station,
        history: {
          ...station.history,
          addExport(given) {
            if (isFull) throw new HistoryError('HISTORY_DISK_FULL')
            return station.history.addExport(given)
          },
        },
      }),
    })
    const answer = await app.inject('/api/bends/export?lot=L-1')
    expect([answer.statusCode, answer.body.includes('wantedDeg')]).toEqual([200, true])
    expect(await logged(app)).toEqual([])
    expect(told).toMatchObject([
      [expect.stringContaining('could not be entered'), { waiting: 1, format: 'csv' }],
    ])
    isFull = false
    await app.inject('/api/bends/export?format=json')
    expect((await logged(app)).map(({ format, filter }) => [format, filter])).toEqual([
      ['json', {}],
      ['csv', { lot: 'L-1' }],
    ])
  })
})
