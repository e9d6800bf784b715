import { describe, expect, test } from 'vitest'
import { HistoryError } from '../../server/history/errors.ts'
import type { CalibrationAsk } from '../../server/messages/readout.ts'
import { makeWeb, type TestWebOptions } from '../support/web.ts'

const GAUGE = { name: 'Angle blocks', certificate: 'C-17' }
const point = (readoutDeg: number, knownDeg: number) => ({
  ...{ readoutDeg, readoutSdDeg: 0.01, knownDeg, standardDeg: 0.05 },
})
const CALIBRATION: CalibrationAsk = {
  who: 'Quality',
  gauge: GAUGE,
  toleranceDeg: 0.5,
  points: [point(12.5, 0), point(57.6, 45), point(102.5, 90)],
}
const PIECE = {
  who: 'Quality',
  name: 'REF-90',
  knownDeg: 90,
  standardDeg: 0.05,
  gauge: GAUGE,
  limitDeg: 5,
}

function web(options: TestWebOptions = {}) {
  const { app, station } = makeWeb({ auto: false, ...options })
  return {
    station,
    get: async (path: string) => {
      const answer = await app.inject(`/api/readout${path}`)
      return { status: answer.statusCode, body: answer.json() }
    },
    post: async (path: string, payload: object) => {
      const answer = await app.inject({ method: 'POST', url: `/api/readout${path}`, payload })
      return { status: answer.statusCode, body: answer.json() }
    },
  }
}

/** Bends until the die stands still after letting off. */
async function settle(shop: ReturnType<typeof web>) {
  shop.station.act({ act: 'datum' })
  shop.station.step(2000)
  expect(shop.station.state().phase).toBe('settled')
}

describe('GET /api/readout', () => {
  test('of a new shop: nothing known but the step of the encoder and the datum', async () => {
    const { status, body } = await web().get('')
    expect(status).toBe(200)
    expect(body).toMatchObject({
      ...{ calibration: null, piece: null, check: null },
      ...{ standing: 'none', why: null, dueAt: null },
    })
    expect(body.uncertainty.expandedDeg).toBeCloseTo(0.1, 2)
    expect(body.uncertainty.lines[0]).toEqual({
      name: 'readout step',
      standardDeg: expect.closeTo(360 / 16_384 / Math.sqrt(12), 9),
      degreesOfFreedom: null,
    })
  })
})

describe('POST /api/readout/capture', () => {
  test('is the mean readout of a die that stands still', async () => {
    const shop = web()
    shop.station.step(500)
    const { status, body } = await shop.post('/capture', {})
    expect(status).toBe(200)
    expect(Object.keys(body).toSorted()).toEqual(['readoutDeg', 'readoutSdDeg', 'samples'])
    expect(body.samples).toBe(100)
  })

  test.each(['silent', 'lost'] as const)('is refused when the wire is %s', async (fault) => {
    const shop = web()
    shop.station.fault(fault)
    shop.station.step(500)
    expect(await shop.post('/capture', {})).toMatchObject({
      status: 409,
      body: { code: 'no-signal' },
    })
  })
})

describe('/api/readout/calibrations', () => {
  test('is entered, is in force, and is listed newest first', async () => {
    const shop = web()
    const { status, body } = await shop.post('/calibrations', CALIBRATION)
    expect(status).toBe(200)
    expect(body).toMatchObject({ id: 1, kind: 'calibration', curve: 'line', sparePoints: 1 })
    expect(body.points[1].residualDeg).toBeCloseTo(-0.067, 3)
    expect((await shop.get('')).body.calibration).toEqual(body)
    const gauge = { ...CALIBRATION.gauge, dueOn: '2027-03-31' }
    const told = { who: 'Second', gauge, temperatureC: 19.5 }
    const second = await shop.post('/calibrations', { ...CALIBRATION, ...told })
    expect(second.body).toMatchObject({ id: 2, previousHash: body.hash, ...told })
    // As found: nothing of a readout that nobody had calibrated; then by the first, off by what that left of the same points.
    expect(body).not.toHaveProperty('asFound')
    expect(second.body.asFound.calibration).toBe(1)
    const left = body.points.map(({ residualDeg }: { residualDeg: number }) =>
      Math.abs(residualDeg - body.points[0].residualDeg),
    )
    expect(Math.abs(second.body.asFound.worstDeg)).toBeCloseTo(Math.max(...left), 5)
    const ids = async (query: string) =>
      (await shop.get(`/calibrations${query}`)).body.map(({ id }: { id: number }) => id)
    expect(await ids('')).toEqual([2, 1])
    expect(await ids('?limit=1')).toEqual([2])
    expect(await ids('?before=2')).toEqual([1])
  })

  test.each(['2026-02-30', '2027-99-99', 'March'])(
    'due on %s, which no calendar has, is refused in a sentence',
    async (dueOn) => {
      const shop = web()
      const gauge = { ...CALIBRATION.gauge, dueOn }
      const { status, body } = await shop.post('/calibrations', { ...CALIBRATION, gauge })
      expect([status, body.code, body.field]).toEqual([400, 'bad-input', 'gauge.dueOn'])
      expect(body.sentence).toBe(
        `gauge.dueOn must be a day of the calendar such as 2026-01-31, not "${dueOn}".`,
      )
    },
  )

  test('a trial tells the fit and enters nothing', async () => {
    const shop = web()
    const { status, body } = await shop.post('/calibrations/trial', CALIBRATION)
    expect(status).toBe(200)
    expect(body).not.toHaveProperty('id')
    expect(body.leaveOneOutDeg).toBeGreaterThan(0)
    expect((await shop.get('/calibrations')).body).toEqual([])
  })

  test.each<[string, Partial<CalibrationAsk>, string]>([
    ['one point', { points: [point(0, 0)] }, 'at least two points'],
    ['two at the same angle', { points: [point(0, 45), point(9, 45)] }, 'same angle'],
    ['a readout that does not move', { points: [point(7, 0), point(7, 90)] }, 'scale of zero'],
    ['a sensor turned the other way', { points: [point(0, 0), point(-90, 90)] }, 'direction'],
    ['a gauge worse than the tolerance', { toleranceDeg: 0.09 }, 'better gauge'],
    [
      'points that contradict one another',
      { points: [point(0, 0), point(0, 40), point(90, 90)] },
      'contradict',
    ],
    ['few points for a turn', { curve: 'twice' }, 'at least 6 points'],
  ])('%s: one sentence, and nothing applied', async (_, change, words) => {
    const shop = web()
    for (const path of ['/calibrations', '/calibrations/trial']) {
      const { status, body } = await shop.post(path, { ...CALIBRATION, ...change })
      expect(status).toBe(400)
      expect(body.code).toBe('calibration-refused')
      expect(body.sentence).toContain(words)
    }
    expect((await shop.get('')).body.calibration).toBeNull()
  })

  test.each<[string, object, string]>([
    ['without points', { points: undefined }, 'points'],
    ['without a name', { who: '' }, 'who'],
    [
      'with a gauge that knows everything',
      { points: [{ ...point(0, 0), standardDeg: 0 }] },
      'points',
    ],
    ['with a curve of its own', { curve: 'spline' }, 'curve'],
    ['with an unknown key', { colour: 'red' }, 'colour'],
  ])('%s is bad input', async (_, change, field) => {
    const { status, body } = await web().post('/calibrations', { ...CALIBRATION, ...change })
    expect(status).toBe(400)
    expect(body.code).toBe('bad-input')
    expect(`${body.field} ${body.sentence}`).toContain(field)
  })

  test('is refused without a set-up and in mid-bend', async () => {
    const bare = await web({ ready: false }).post('/calibrations', CALIBRATION)
    expect(bare).toMatchObject({ status: 409, body: { code: 'no-setup' } })
    const shop = web()
    await settle(shop)
    const open = await shop.post('/calibrations', CALIBRATION)
    expect(open).toMatchObject({ status: 409, body: { code: 'not-now' } })
  })

  test('that the disk does not take is not in force', async () => {
    const shop = web({
      wrap: (station) => {
        station.history.addReadoutEntry = () => {
          throw new HistoryError('HISTORY_DISK_FULL')
        }
        return station
      },
    })
    const answer = await shop.post('/calibrations', CALIBRATION)
    expect(answer).toMatchObject({ status: 507, body: { code: 'storage-full' } })
    expect((await shop.get('')).body.calibration).toBeNull()
  })
})

describe('/api/readout/axes', () => {
  const at = (xG: number, yG: number, zG: number) => ({ xG, yG, zG })
  const SIX = [1, -1].flatMap((g) => [at(g + 0.01, 0, 0), at(0, g, 0), at(0, 0, g)])

  test('is captured, entered, in force and listed', async () => {
    const shop = web({ gravity: at(0.01, 0, 1) })
    expect((await shop.post('/axes/capture', {})).body).toEqual(at(0.01, 0, 1))
    const { status, body } = await shop.post('/axes', { who: 'Quality', positions: SIX })
    expect(status).toBe(200)
    expect(body).toMatchObject({ id: 1, x: { offsetG: 0.01, unitG: 1 } })
    expect((await shop.get('')).body.axes).toEqual(body)
    expect((await shop.get('/axes')).body).toEqual([body])
  })

  test('of five sides, or of one twice, is refused with a sentence', async () => {
    const shop = web()
    for (const positions of [SIX.slice(1), SIX.with(3, SIX[0]!)]) {
      const { status, body } = await shop.post('/axes', { who: 'Quality', positions })
      expect(status).toBe(400)
      expect(body.code).toBe('calibration-refused')
      expect(body.sentence).toMatch(/^[A-Z].*\.$/)
    }
    expect((await shop.get('')).body.axes).toBeNull()
  })

  test('of a sensor without axes cannot be captured', async () => {
    const { status, body } = await web().post('/axes/capture', {})
    expect([status, body.code]).toEqual([409, 'no-signal'])
  })
})

describe('/api/readout/pieces and /api/readout/checks', () => {
  test('a piece makes a check due, once a week unless it says otherwise', async () => {
    const shop = web()
    const { body } = await shop.post('/pieces', PIECE)
    expect(body).toMatchObject({ id: 1, kind: 'reference-piece', everyDays: 7 })
    const eachStart = await shop.post('/pieces', { ...PIECE, everyDays: null })
    expect(eachStart.body.everyDays).toBeNull()
    expect((await shop.get('/pieces')).body.map(({ id }: { id: number }) => id)).toEqual([2, 1])
    expect((await shop.get('')).body).toMatchObject({ standing: 'overdue', piece: { id: 2 } })
    expect(shop.station.state().notices).toMatchObject([{ id: 'check', kind: 'task' }])
  })

  test('a check passes or fails against the limit, and is charted', async () => {
    const shop = web()
    await shop.post('/pieces', PIECE)
    await shop.post('/pieces', { ...PIECE, name: 'REF-40', knownDeg: 40 })
    await settle(shop)
    const passed = await shop.post('/checks', { who: 'Quality', piece: 1 })
    expect(passed.status).toBe(200)
    expect(passed.body).toMatchObject({ id: 3, passed: true, limitDeg: 5, calibration: null })
    expect(passed.body.differenceDeg).toBeCloseTo(passed.body.readoutDeg - 90, 6)
    expect((await shop.get('')).body).toMatchObject({ standing: 'good', check: { id: 3 } })
    const failed = await shop.post('/checks', { who: 'Quality', piece: 2 })
    expect(failed.body).toMatchObject({ id: 4, passed: false })
    expect((await shop.get('')).body).toMatchObject({ standing: 'failed', dueAt: null })
    await shop.post('/checks', { who: 'Quality', piece: 1 })
    const { body } = await shop.get('/pieces/1/chart')
    expect(body.checks.map(({ id }: { id: number }) => id)).toEqual([3, 5])
    expect(body.limits.upperDeg).toBeGreaterThanOrEqual(body.limits.centreDeg)
    expect((await shop.get('/checks?limit=2')).body).toHaveLength(2)
  })

  test('a check without a datum, with an uncertain angle, or with no such piece is refused', async () => {
    const shop = web()
    const check = (piece: number) => shop.post('/checks', { who: 'Quality', piece })
    expect(await check(1)).toMatchObject({ status: 404, body: { code: 'no-such-piece' } })
    await shop.post('/calibrations', CALIBRATION)
    expect(await check(1)).toMatchObject({ status: 404, body: { code: 'no-such-piece' } })
    await shop.post('/pieces', PIECE)
    shop.station.step(500)
    expect(await check(2)).toMatchObject({ status: 409, body: { code: 'no-datum' } })
    await settle(shop)
    shop.station.fault('uncertain')
    shop.station.step(200)
    expect(await check(2)).toMatchObject({ status: 409, body: { code: 'no-datum' } })
    expect((await shop.get('/checks')).body).toEqual([])
  })

  test.each<[string, object]>([
    ['a limit of nothing', { limitDeg: 0 }],
    ['a piece that is straight', { knownDeg: 0 }],
    ['no uncertainty', { standardDeg: 0 }],
    ['checks every half day', { everyDays: 0.5 }],
    ['no gauge', { gauge: undefined }],
  ])('a piece with %s is bad input', async (_, change) => {
    const { status, body } = await web().post('/pieces', { ...PIECE, ...change })
    expect(status).toBe(400)
    expect(body.code).toBe('bad-input')
    expect(body.sentence).toMatch(/\.$/)
  })

  test.each(['0', '-1', 'x', '1.5'])('the chart of piece %s is bad input', async (id) => {
    expect((await web().get(`/pieces/${id}/chart`)).status).toBe(400)
  })
})
