import { describe, expect, test } from 'vitest'
import { HistoryError } from '../../server/history/errors.ts'
import { makeManualClock } from '../support/manual-clock.ts'
import { makeWeb } from '../support/web.ts'

describe('GET /api/health', () => {
  test('says how the daemon is', async () => {
    const clock = makeManualClock()
    const { app, station } = makeWeb({ clock })
    await app.ready()
    station.step(1300)
    clock.advance(61.5)
    expect((await app.inject('/api/health')).json()).toEqual({
      ok: true,
      software: '0.1.0-fake',
      upS: 61.5,
      link: station.state().link,
      bends: 1,
      unsaved: 0,
      keeping: { backups: null, room: null },
      storage: null,
    })
  })

  test('is not well while bends wait for the disk', async () => {
    const { app, station } = makeWeb()
    station.fault('disk')
    expect((await app.inject('/api/health')).json()).toMatchObject({
      ok: false,
      unsaved: 1,
      storage: 'The disk is full: bends wait in memory.',
    })
  })

  test('answers when the history itself does not', async () => {
    const error = new HistoryError('HISTORY_DISK_FAULT', { at: 'bends.db', what: 'EIO' })
    const { app } = makeWeb({
      wrap: (station) => ({
        ...station,
        history: {
          ...station.history,
          count() {
            throw error
          },
        },
      }),
    })
    const answer = await app.inject('/api/health')
    expect(answer.statusCode).toBe(200)
    expect(answer.json()).toMatchObject({
      ok: false,
      bends: 0,
      storage: error.message,
    })
  })

  test.each(['silent', 'garbled', 'lost'] as const)('tells of a wire that is %s', async (fault) => {
    const { app, station } = makeWeb()
    station.fault(fault)
    const { link } = (await app.inject('/api/health')).json()
    expect(link.state).toBe(fault)
    expect(link.reason).toMatch(/\.$/)
    expect(link.hint).toMatch(/\.$/)
  })
})

describe('POST /api/bench', () => {
  const post = (app: ReturnType<typeof makeWeb>['app'], payload: object) =>
    app.inject({ method: 'POST', url: '/api/bench', payload })

  test('lets one work the ram by hand', async () => {
    const { app, station } = makeWeb()
    expect((await post(app, { mode: 'hand', ram: 'advance' })).json()).toEqual({ done: true })
    expect(station.state().bench).toMatchObject({ mode: 'hand', ram: 'advance' })
    expect((await post(app, { ram: 'hold' })).statusCode).toBe(200)
    expect(station.state().bench).toMatchObject({ mode: 'hand', ram: 'hold' })
  })

  test.each([{ mode: 'auto' }, { ram: 'up' }, { ram: 1 }, { speed: 2 }, { mode: null }])(
    'refuses %j',
    async (payload) => {
      const { app, station } = makeWeb()
      const answer = await post(app, payload)
      expect(answer.statusCode).toBe(400)
      expect(answer.json().code).toBe('bad-input')
      expect(station.acts).toEqual([])
    },
  )

  test('says so where there is a real sensor', async () => {
    const { app } = makeWeb({ bench: false })
    const answer = await post(app, { mode: 'self' })
    expect(answer.statusCode).toBe(409)
    expect(answer.json().code).toBe('no-bench')
  })
})

describe('an address that is not there', () => {
  test.each([
    ['GET', '/api/nothing'],
    ['GET', '/api'],
    ['GET', '/api/'],
    ['GET', '/API/health'],
    ['GET', '/api/health/'],
    ['GET', '/api//health'],
    ['DELETE', '/api/bends/1'],
    ['PUT', '/api/bends/1'],
    ['PATCH', '/api/station/job'],
    ['GET', '/api/pair'],
    ['OPTIONS', '/api/station'],
    ['POST', '/'],
  ] as const)('%s %s is 404 in the one envelope', async (method, url) => {
    const { app } = makeWeb()
    const answer = await app.inject({ method, url })
    expect(answer.statusCode).toBe(404)
    expect(answer.json()).toEqual({
      code: 'no-such-address',
      sentence: `There is nothing at ${url}; see /api/openapi.json.`,
    })
  })

  test.each(['/%', '/api/%E0%A4%A', '/api/bends/%zz'])('%s cannot be read', async (url) => {
    const { app } = makeWeb()
    const answer = await app.inject(url)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().code).toBe('bad-request')
  })
})

test('every answer forbids guessing, framing, foreign code and keeping', async () => {
  const { app } = makeWeb()
  for (const url of [
    '/api/health',
    '/api/nothing',
    '/api/bends/0',
    '/api/bends/1',
    '/',
    '/live',
    '/%',
  ]) {
    const { headers } = await app.inject(url)
    expect(headers['content-security-policy']).toBe(
      "default-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' data:; " +
        "object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'",
    )
    expect(headers['x-content-type-options']).toBe('nosniff')
    expect(headers['cross-origin-resource-policy']).toBe('same-origin')
    expect(headers['referrer-policy']).toBe('no-referrer')
    expect(headers['cache-control']).toBe('no-store')
    expect(headers).not.toHaveProperty('x-powered-by')
    expect(headers).not.toHaveProperty('server')
    expect(headers).not.toHaveProperty('access-control-allow-origin')
  }
})
