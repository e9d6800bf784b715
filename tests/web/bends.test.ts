import { parse } from 'csv-parse/sync'
import { describe, expect, test, vi } from 'vitest'
import { HistoryError } from '../../server/history/errors.ts'
import type { History, Verified } from '../../server/history/history.ts'
import { listenWeb, makeWeb, type TestWebOptions } from '../support/web.ts'

/** Samples of one whole bend of the fake station. */
const ONE_BEND = 1201

function withBends(count: number, options?: TestWebOptions) {
  const web = makeWeb(options)
  web.station.step(count * ONE_BEND)
  return web
}

function withHistory(change: Partial<History>) {
  return makeWeb({
    wrap: (station) => ({ ...station, history: { ...station.history, ...change } }),
  })
}

/** A walk of so many steps that ends in this. */
function stepsTo(verified: Verified, steps: number): Iterator<void, Verified> {
  let left = steps
  return {
    next: () => (left-- > 0 ? { done: false, value: undefined } : { done: true, value: verified }),
  }
}

describe('GET /api/bends', () => {
  test('is empty at first', async () => {
    const { app } = makeWeb()
    expect((await app.inject('/api/bends')).json()).toEqual({
      bends: [],
      nextBefore: null,
      nextAfter: null,
      total: 0,
    })
  })

  test('pages backwards without missing or repeating one', async () => {
    const { app } = withBends(7)
    const seen: number[] = []
    let before: number | null = null
    do {
      const url: string = `/api/bends?limit=3${before === null ? '' : `&before=${before}`}`
      const page = (await app.inject(url)).json()
      expect(page.total).toBe(7)
      seen.push(...page.bends.map(({ id }: { id: number }) => id))
      before = page.nextBefore
    } while (before !== null)
    expect(seen).toEqual([7, 6, 5, 4, 3, 2, 1])
  })

  test('gives rows, not whole records', async () => {
    const { app } = withBends(1)
    const [row] = (await app.inject('/api/bends')).json().bends
    expect(row).toMatchObject({ id: 1, part: 'Boarding rail BR-5', piece: 1, wantedDeg: 90 })
    expect(row).not.toHaveProperty('goes')
    expect(row).not.toHaveProperty('hash')
  })

  test.each([
    ['part=Boarding%20rail%20BR-5', 2],
    ['part=Other', 0],
    ['lot=RT-2207', 2],
    ['operator=Bench', 2],
    ['verdict=in', 0],
    ['verdict=under', 2],
    ['from=2026-01-05T07:00:00Z', 2],
    ['from=2030-01-01', 0],
    ['to=2026-01-05T09:00:00%2B02:00', 0],
    ['to=2030-01-01', 2],
    ['piece=1', 1],
    ['die=No%20such%20die', 0],
    ['station=No%20such%20bender', 0],
  ])('filters by %s', async (query, total) => {
    const { app } = withBends(2)
    expect((await app.inject(`/api/bends?${query}`)).json().total).toBe(total)
  })

  test.each([
    ['limit=0', 'limit'],
    ['limit=501', 'limit'],
    ['limit=many', 'limit'],
    ['limit=', 'limit'],
    ['limit=1&limit=2', 'limit'],
    ['before=0', 'before'],
    ['before=-3', 'before'],
    ['before=1.5', 'before'],
    ['verdict=lost', 'verdict'],
    ['from=yesterday', 'from'],
    ['from=', 'from'],
    ['to=2026-13-45', 'to'],
    ['firstDay=2026-01-05T07:00', 'firstDay'],
    ['lastDay=2026-13-45', 'lastDay'],
    ['piece=0', 'piece'],
    ['amended=maybe', 'amended'],
    ['readout=bad', 'readout'],
    ['order=up', 'order'],
    ['offset=3', 'offset'],
    [`text=${'x'.repeat(201)}`, 'text'],
    [`part=${'x'.repeat(81)}`, 'part'],
  ])('refuses %s and names the field', async (query, field) => {
    const { app } = withBends(1)
    const answer = await app.inject(`/api/bends?${query}`)
    expect(answer.statusCode).toBe(400)
    expect(answer.json()).toMatchObject({ code: 'bad-input', field })
  })

  test('a disk that cannot be read is said so', async () => {
    const error = new HistoryError('HISTORY_DISK_FAULT', { at: 'bends.db', what: 'EIO' })
    const { app } = withHistory({
      page() {
        throw error
      },
    })
    const answer = await app.inject('/api/bends')
    expect(answer.statusCode).toBe(503)
    expect(answer.json()).toEqual({ code: 'storage-failed', sentence: error.message })
  })
})

describe('GET /api/bends/charts', () => {
  test('charts the whole selection, with the constants used', async () => {
    const { app } = withBends(3)
    const charts = (await app.inject('/api/bends/charts?lot=RT-2207')).json()
    expect(charts).toMatchObject({ total: 3, unmeasured: 0, voided: { count: 0, points: [] } })
    expect(charts.error).toMatchObject({ n: 3, constants: { d2: 1.128, D4: 3.267, sigmas: 3 } })
    expect(charts.error.points.map(({ id }: { id: number }) => id)).toEqual([1, 2, 3])
    expect(charts.lots).toMatchObject([{ lot: 'RT-2207', n: 3 }])
  })

  test('of nothing have no chart', async () => {
    const { app } = withBends(1)
    const charts = (await app.inject('/api/bends/charts?part=Other')).json()
    expect(charts).toMatchObject({ total: 0, error: null, lots: [] })
  })

  test('let everything else in between two steps, and are made one after the other', async () => {
    const { app: plain, station } = withBends(3)
    const expected = (await plain.inject('/api/bends/charts')).json()
    const happened: string[] = []
    let asked = 0
    const { app } = withHistory({
      selectionSteps(filter) {
        const selected = station.history.selectionSteps(filter)
        const name = `charts ${++asked}`
        let left = 3
        return {
          next() {
            happened.push(name)
            if (left-- === 0) return selected.next()
            setImmediate(() => happened.push('something else'))
            return { done: false, value: undefined }
          },
        }
      },
    })
    const answers = await Promise.all([1, 2].map(() => app.inject('/api/bends/charts')))
    expect(answers.map((answer) => answer.json())).toEqual([expected, expected])
    const steps = (name: string) => [name, 'something else', name, 'something else', name]
    expect(happened.slice(0, 5)).toEqual(steps('charts 1'))
    expect(happened.filter((name) => name !== 'something else')).toEqual([
      ...Array(4).fill('charts 1'),
      ...Array(4).fill('charts 2'),
    ])
  })

  test('are given up when whoever asked is gone, and the next ones are made', async () => {
    const { station: plain } = withBends(3)
    let steps = 0
    const { url, logged } = await listenWeb({
      wrap: (station) => ({
        ...station,
        history: {
          ...station.history,
          selectionSteps(filter) {
            if (filter.part === undefined) return plain.history.selectionSteps(filter)
            return (function* () {
              for (;;) yield void ++steps
            })()
          },
        },
      }),
    })
    const left = new AbortController()
    const asked = fetch(`${url}/api/bends/charts?part=x`, { signal: left.signal })
    await vi.waitFor(() => expect(steps).toBeGreaterThan(10))
    left.abort()
    await expect(asked).rejects.toThrow(/abort/i)
    const next = await fetch(`${url}/api/bends/charts`)
    expect(await next.json()).toMatchObject({ total: 3 })
    const stopped = steps
    await new Promise((resolve) => setTimeout(resolve, 50))
    expect(steps).toBe(stopped)
    expect(logged).toEqual([])
  })

  test('that fail leave the next ones be', async () => {
    const error = new HistoryError('HISTORY_DISK_FAULT', { at: 'bends.db', what: 'EIO' })
    let isBroken = true
    const { station } = withBends(1)
    const { app } = withHistory({
      selectionSteps(filter) {
        if (isBroken) throw error
        return station.history.selectionSteps(filter)
      },
    })
    expect((await app.inject('/api/bends/charts')).statusCode).toBe(503)
    isBroken = false
    expect((await app.inject('/api/bends/charts')).statusCode).toBe(200)
  })

  test('refuse a filter that the list refuses', async () => {
    const { app } = makeWeb()
    const answer = await app.inject('/api/bends/charts?from=yesterday')
    expect(answer.statusCode).toBe(400)
    expect(answer.json().field).toBe('from')
  })
})

describe('GET /api/bends/summary', () => {
  test('is of all that fit, and takes what the list takes', async () => {
    const { app, station } = withBends(3)
    const summary = (await app.inject('/api/bends/summary?verdict=under')).json()
    expect(summary).toEqual(station.history.summary({ verdict: 'under' }))
    expect(summary.total).toBe(3)
  })

  test.each(['limit=5', 'before=3', 'firstDay=2026-13-45', 'colour=red'])(
    'refuses %s',
    async (query) => {
      const { app } = withBends(1)
      const answer = await app.inject(`/api/bends/summary?${query}`)
      expect(answer.statusCode).toBe(400)
      expect(answer.json()).toMatchObject({ code: 'bad-input', field: query.split('=')[0] })
    },
  )
})

test('GET /api/bends/names gives what may be looked for', async () => {
  const { app } = withBends(2)
  expect((await app.inject('/api/bends/names')).json()).toMatchObject({
    part: ['Boarding rail BR-5'],
    lot: ['RT-2207'],
    operator: ['Bench'],
  })
})

describe('GET /api/bends/:id', () => {
  test('is the whole record, with the names that scripts rely on', async () => {
    const { app, station } = withBends(2)
    const bend = (await app.inject('/api/bends/2')).json()
    expect(bend).toEqual(station.history.bend(2))
    // The list of the interface page: what a bend in the history carries at least.
    for (const name of [
      'wantedDeg',
      'commandedDeg',
      'peakDeg',
      'releasedDeg',
      'checkedDeg',
      'hits',
      'verdict',
      'startedAt',
      'finishedAt',
      'setup',
      'lot',
      'part',
      'piece',
      'operator',
      'chainRevision',
      'calibration',
    ])
      expect(bend).toHaveProperty(name)
  })

  test.each(['', '/trace', '/raw'])('%s of a bend that is not there is 404', async (rest) => {
    const { app } = withBends(1)
    const answer = await app.inject(`/api/bends/2${rest}`)
    expect(answer.statusCode).toBe(404)
    expect(answer.json()).toEqual({
      code: 'no-such-bend',
      sentence: 'There is no bend number 2 in the history.',
    })
  })

  test.each(['0', '-1', '1.5', 'x', '1e3', '%20', '1%00', '..', '9007199254740993', '٣', 'null'])(
    'refuses the number %s, everywhere',
    async (id) => {
      const { app } = withBends(1)
      for (const rest of ['', '/trace', '/raw']) {
        const answer = await app.inject(`/api/bends/${id}${rest}`)
        expect([400, 404]).toContain(answer.statusCode)
        expect(answer.json().sentence).toMatch(/\.$/)
      }
    },
  )

  test('a very long number is refused without looking', async () => {
    const { app } = withBends(1)
    const answer = await app.inject(`/api/bends/${'9'.repeat(5000)}`)
    expect(answer.statusCode).toBeGreaterThanOrEqual(400)
    expect(answer.statusCode).toBeLessThan(500)
    expect(answer.json().sentence).toMatch(/\.$/)
  })
})

describe('GET /api/bends/:id/trace', () => {
  test('is what the station makes of the raw lines', async () => {
    const { app, station } = withBends(1)
    const trace = (await app.inject('/api/bends/1/trace')).json()
    expect(trace).toEqual(await station.trace(1))
    expect(trace.tS).toHaveLength(trace.angleDeg.length)
    expect(trace.tS.length).toBeGreaterThan(1000)
  })
})

describe('GET /api/bends/:id/raw', () => {
  test('is every line as text', async () => {
    const { app, station } = withBends(1)
    const answer = await app.inject('/api/bends/1/raw')
    expect(answer.headers['content-type']).toBe('text/plain; charset=utf-8')
    expect(answer.headers['x-content-type-options']).toBe('nosniff')
    expect(answer.body.split('\n').slice(0, -1)).toEqual(station.history.raw(1)?.lines)
  })

  test('of a bend without lines is empty', async () => {
    const { app } = withHistory({ raw: () => ({ chain: '', snapshot: '', lines: [] }) })
    expect((await app.inject('/api/bends/1/raw')).body).toBe('')
  })

  test('keeps letters beyond ASCII', async () => {
    const lines = ['0.1\td\t$é€𝄞']
    const { app } = withHistory({ raw: () => ({ chain: '', snapshot: '', lines }) })
    expect((await app.inject('/api/bends/1/raw')).body).toBe('0.1\td\t$é€𝄞\n')
  })
})

describe('GET /api/history/verify', () => {
  test('says that the history is whole', async () => {
    const { app, station } = withBends(2, { auto: true })
    const answer = await app.inject('/api/history/verify')
    expect(answer.json()).toEqual(station.history.verify())
    expect(answer.json()).toMatchObject({ records: 2, intact: true, firstBroken: null })
  })

  test('says where it is broken', async () => {
    const verified = {
      ...{ records: 9, intact: false, firstBroken: 4, why: 'Altered.', head: 'ab' },
      readout: { entries: 3, firstBroken: 4, head: 'cd' },
      acts: { entries: 1, firstBroken: null, head: 'ef' },
      people: { entries: 0, firstBroken: null, head: '0'.repeat(64) },
      chains: { entries: 2, firstBroken: null, head: '01' },
      exports: { entries: 5, firstBroken: null, head: '02' },
    }
    const { app } = withHistory({ verifySteps: () => stepsTo(verified, 3) })
    expect((await app.inject('/api/history/verify')).json()).toEqual(verified)
  })

  test('gives way to a bend that begins while it walks', async () => {
    const { app, station } = withHistory({
      verifySteps: () => ({
        next() {
          station.step(20)
          return { done: false, value: undefined }
        },
      }),
    })
    const { statusCode } = await app.inject('/api/history/verify')
    expect(station.state().phase).toBe('bending')
    expect(statusCode).toBe(409)
  })

  test('is given up when whoever asked is gone', async () => {
    let steps = 0
    const { url, logged } = await listenWeb({
      wrap: (station) => ({
        ...station,
        history: {
          ...station.history,
          verifySteps: () => ({
            next() {
              steps += 1
              return { done: false, value: undefined }
            },
          }),
        },
      }),
    })
    const left = new AbortController()
    const asked = fetch(`${url}/api/history/verify`, { signal: left.signal })
    await vi.waitFor(() => expect(steps).toBeGreaterThan(10))
    left.abort()
    await expect(asked).rejects.toThrow(/abort/i)
    // Whoever asks next is answered once the daemon has seen that the first is gone.
    await vi.waitFor(
      async () => {
        const seen = steps
        expect((await fetch(`${url}/api/stations`)).status).toBe(200)
        expect(steps).toBe(seen)
      },
      { timeout: 10_000 },
    )
    expect(logged).toEqual([])
  })

  test('waits for the tube to be let off', async () => {
    const { app, station } = makeWeb()
    const statuses = new Map<string, number>()
    for (let i = 0; i < 240; i++) {
      station.step(5)
      const { statusCode } = await app.inject('/api/history/verify')
      statuses.set(station.state().phase, statusCode)
    }
    expect(Object.fromEntries(statuses)).toEqual({
      'no-datum': 200,
      seated: 200,
      bending: 409,
      held: 409,
      'letting-off': 409,
      settled: 200,
    })
  })
})

describe('GET /api/bends/export', () => {
  test('CSV begins with a byte order mark and holds what was found, with what stands beside it', async () => {
    const { app, station } = makeWeb({ auto: true })
    station.step(2 * 1201)
    if (station.state().phase !== 'no-datum') station.act({ act: 'abandon' })
    await app.inject({
      method: 'POST',
      url: '/api/bends/1/void',
      payload: { who: '=Quality', reason: 'The "wrong" tube.' },
    })
    const answer = await app.inject('/api/bends/export?piece=1')
    expect(answer.headers['content-type']).toBe('text/csv; charset=utf-8')
    expect(answer.headers['content-disposition']).toBe('attachment; filename=bends.csv')
    expect(answer.payload.startsWith('\uFEFFid,')).toBe(true)
    const rows = parse(answer.payload, { bom: true, columns: true }) as Record<string, string>[]
    expect(rows).toHaveLength(1)
    // A name that a spreadsheet would take for a formula is text.
    expect(rows[0]).toMatchObject({
      voidBy: "'=Quality",
      voidReason: 'The "wrong" tube.',
      acts: '1',
    })
    expect(Number(rows[0]?.['releasedDeg'])).toBe(station.history.bend(1)?.releasedDeg)
  })

  test('JSON holds whole records, each with its acts', async () => {
    const { app, station } = makeWeb({ auto: true })
    station.step(2 * 1201)
    if (station.state().phase !== 'no-datum') station.act({ act: 'abandon' })
    const note = { who: 'Quality', text: 'Seen.' }
    await app.inject({ method: 'POST', url: '/api/bends/1/notes', payload: note })
    const answer = await app.inject('/api/bends/export?format=json')
    const bends = answer.json()
    expect(bends.map(({ id }: { id: number }) => id)).toEqual([1, 2])
    expect(bends[0]).toMatchObject({ ...station.history.bend(1), acts: [note] })
    expect(bends[1].acts).toEqual([])
  })

  test('refuses a filter or a form that there is not', async () => {
    const { app } = makeWeb({ auto: true })
    for (const bad of ['format=xml', 'colour=red', 'piece=0'])
      expect((await app.inject(`/api/bends/export?${bad}`)).statusCode, bad).toBe(400)
  })
})
