import { describe, expect, test } from 'vitest'
import { HistoryError } from '../../server/history/errors.ts'
import { OPERATOR, signIn, withPeople } from '../support/enrolled.ts'
import { type App, makeWeb } from '../support/web.ts'

const NAMES = [
  'Due today',
  '<img src=x onerror=alert(1)>',
  'أنابيب اليوم',
  '🔥'.repeat(60),
  "Rail & '; DROP TABLE setting --",
]
const ASK = { who: 'Quality', filter: { part: 'Rail', verdict: 'under', daysBack: 30 } }

const put = (app: App, name: string, more: object = {}) =>
  app.inject({ method: 'PUT', url: '/api/views', payload: { ...ASK, name, ...more } })
const remove = (app: App, name: string) =>
  app.inject({ method: 'DELETE', url: `/api/views?${new URLSearchParams({ name })}` })
const list = async (app: App) => (await app.inject('/api/views')).json()
const namesIn = async (app: App) => (await list(app)).map(({ name }: { name: string }) => name)

describe('a saved view', () => {
  test('is there for everybody, with who saved it and when, letter for letter', async () => {
    const { app } = makeWeb()
    expect(await list(app)).toEqual([])
    for (const name of NAMES) {
      const answer = await put(app, name)
      expect(answer.statusCode).toBe(200)
      expect(answer.json()).toMatchObject({ name, ...ASK })
      expect(answer.json().at).toMatch(/^\d{4}-\d\d-\d\dT/)
    }
    expect(await namesIn(app)).toEqual(NAMES.toSorted((a, b) => a.localeCompare(b)))
  })

  test('keeps its name until it is said that another takes its place', async () => {
    const { app } = makeWeb()
    await put(app, 'Due today')
    const again = await put(app, 'Due today', { who: 'Night', filter: { lot: 'L-1' } })
    expect(again.statusCode).toBe(409)
    expect(again.json()).toEqual({
      code: 'view-exists',
      field: 'name',
      sentence:
        'There is a view “Due today” already, which Quality saved: give another name, or say that yours takes its place.',
    })
    expect(await list(app)).toMatchObject([{ who: 'Quality', filter: ASK.filter }])
    await put(app, 'Due today', { who: 'Night', filter: { lot: 'L-1' }, replaces: true })
    expect(await list(app)).toMatchObject([{ who: 'Night', filter: { lot: 'L-1' } }])
  })

  test('is removed by its name, and its place is free again', async () => {
    const { app } = makeWeb()
    for (const name of NAMES) await put(app, name)
    expect((await remove(app, NAMES[1] ?? '')).statusCode).toBe(200)
    expect(await namesIn(app)).not.toContain(NAMES[1])
    const again = await remove(app, NAMES[1] ?? '')
    expect(again.statusCode).toBe(404)
    expect(again.json().sentence).toContain(NAMES[1])
    await put(app, 'Another')
    expect(await list(app)).toHaveLength(NAMES.length)
  })

  test.each([
    [{ name: '' }, 'name'],
    [{ name: ' ' }, 'name'],
    [{ name: 'x'.repeat(61) }, 'name'],
    [{ who: '' }, 'who'],
    [{ filter: { limit: 50 } }, 'filter.limit'],
    [{ filter: { before: 7 } }, 'filter.before'],
    [{ filter: { daysBack: 0 } }, 'filter.daysBack'],
    [{ filter: { daysBack: 3661 } }, 'filter.daysBack'],
    [{ filter: { daysBack: 1.5 } }, 'filter.daysBack'],
    [{ filter: null }, 'filter'],
    [{ shared: true }, 'shared'],
  ])('with %j is refused, naming the field, and nothing is kept', async (change, field) => {
    const { app } = makeWeb()
    const answer = await put(app, 'Due today', change)
    expect(answer.statusCode).toBe(400)
    expect(answer.json()).toMatchObject({ code: 'bad-input', field })
    expect(await list(app)).toEqual([])
  })

  test('of a day that no calendar has is refused', async () => {
    const { app } = makeWeb()
    const answer = await put(app, 'Due today', { filter: { firstDay: '2026-02-30' } })
    expect(answer.statusCode).toBe(400)
    expect(answer.json().sentence).toContain('firstDay must be a day')
    expect(await list(app)).toEqual([])
  })

  test('past the most that are kept is refused with what to do', async () => {
    const { app } = makeWeb()
    for (let n = 1; n <= 200; n += 1) expect((await put(app, `View ${n}`)).statusCode).toBe(200)
    const answer = await put(app, 'One more')
    expect(answer.statusCode).toBe(409)
    expect(answer.json().sentence).toBe(
      'There are 200 saved views, and no more are kept; remove one first.',
    )
    expect((await put(app, 'View 7', { replaces: true })).statusCode).toBe(200)
    await remove(app, 'View 7')
    expect((await put(app, 'One more')).statusCode).toBe(200)
  })

  test('that this version cannot read is not shown, and not written over', async () => {
    const { app, station } = makeWeb()
    const newer = { name: 'Newer', filter: { phaseOfMoon: 'full' }, who: 'Q', at: 'x' }
    station.history.remember('view 1', newer)
    await put(app, 'Due today')
    expect(await namesIn(app)).toEqual(['Due today'])
    expect(station.history.recall('view 1')).toEqual(newer)
    const same = await put(app, 'Newer')
    expect(same.statusCode).toBe(409)
    expect(same.json().sentence).toContain('which a newer Overbend saved')
    expect((await remove(app, 'Newer')).statusCode).toBe(200)
    expect((await put(app, 'Newer')).statusCode).toBe(200)
    expect(await namesIn(app)).toEqual(['Due today', 'Newer'])
  })

  test('takes who is signed in for who saved it, and is removed by nobody else', async () => {
    const { app } = await withPeople()
    expect((await put(app, 'Due today')).json().code).toBe('not-signed-in')
    const cookie = await signIn(app, OPERATOR)
    const payload = { ...ASK, name: 'Due today', who: 'Somebody else' }
    const answer = await app.inject({
      ...{ method: 'PUT', url: '/api/views', payload, headers: { cookie } },
    })
    expect(answer.json().who).toBe(OPERATOR.name)
    expect((await remove(app, 'Due today')).json().code).toBe('not-signed-in')
    expect(await namesIn(app)).toEqual(['Due today'])
  })

  test('is not there where the disk cannot be read, which is said', async () => {
    const error = new HistoryError('HISTORY_DISK_FAULT', { at: 'bends.db', what: 'EIO' })
    const { app, station } = makeWeb()
    station.history.recall = () => {
      throw error
    }
    const answer = await app.inject('/api/views')
    expect(answer.statusCode).toBe(503)
    expect(answer.json()).toEqual({ code: 'storage-failed', sentence: error.message })
  })
})
