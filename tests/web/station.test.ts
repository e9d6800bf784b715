import { describe, expect, test } from 'vitest'
import { DomainError } from '../../server/bend/errors.ts'
import { Refused } from '../../server/web/station-door.ts'
import { SHOP_JOB, SHOP_SETUP } from '../support/fake-bend.ts'
import { makeWeb } from '../support/web.ts'

const JSON_TYPE = { 'content-type': 'application/json' }

describe('GET /api/station', () => {
  test('is the whole state, as the station has it', async () => {
    const { app, station } = makeWeb()
    station.step(500)
    const answer = await app.inject('/api/station')
    expect(answer.statusCode).toBe(200)
    expect(answer.json()).toEqual(station.state())
  })

  test('before the first run is a state with no set-up and no job', async () => {
    const { app } = makeWeb({ ready: false })
    expect((await app.inject('/api/station')).json()).toMatchObject({
      setup: null,
      job: null,
      aim: null,
    })
  })

  test('never lets a field out that is not in the schema', async () => {
    const { app } = makeWeb({
      wrap: (station) => ({
        ...station,
        state: () => ({ ...station.state(), secret: 'sesame' }) as never,
      }),
    })
    expect((await app.inject('/api/station')).body).not.toContain('sesame')
  })
})

describe('POST /api/station/act', () => {
  const act = (app: ReturnType<typeof makeWeb>['app'], payload: unknown) =>
    app.inject({ method: 'POST', url: '/api/station/act', payload: payload as object })

  test('hands the act to the station', async () => {
    const { app, station } = makeWeb({ auto: false })
    expect((await act(app, { act: 'datum' })).json()).toEqual({ done: true })
    expect(station.acts).toEqual([{ act: 'datum' }])
    expect(station.state().phase).toBe('seated')
  })

  test('passes on the refusal when the moment is wrong', async () => {
    const { app, station } = makeWeb({ auto: false })
    const answer = await act(app, { act: 'accept' })
    expect(answer.statusCode).toBe(409)
    expect(answer.json()).toEqual({
      code: 'not-now',
      sentence: 'There is no settled bend to accept.',
    })
    expect(station.acts).toEqual([])
  })

  test('says what is missing on the first run', async () => {
    const { app } = makeWeb({ ready: false })
    expect((await act(app, { act: 'datum' })).json().code).toBe('no-setup')
  })

  test.each([
    [{ act: 'jump' }, 'act'],
    [{ act: ['datum'] }, 'act'],
    [{ act: 'datum', also: 1 }, 'also'],
    [{}, 'act'],
    [{ ACT: 'datum' }, undefined],
  ])('refuses %j', async (payload, field) => {
    const { app, station } = makeWeb({ auto: false })
    const answer = await act(app, payload)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().code).toBe('bad-input')
    if (field) expect(answer.json().field).toBe(field)
    expect(station.acts).toEqual([])
  })

  test.each([
    ['', 'bad-json'],
    ['{', 'bad-json'],
    ['{"act":"datum"} extra', 'bad-json'],
    ["{'act':'datum'}", 'bad-json'],
    ['{"__proto__":{"act":"datum"}}', 'bad-json'],
    ['null', 'bad-input'],
    ['[]', 'bad-input'],
    ['"datum"', 'bad-input'],
  ])('refuses the body %j', async (payload, code) => {
    const { app } = makeWeb({ auto: false })
    const options = { method: 'POST' as const, url: '/api/station/act', headers: JSON_TYPE }
    const answer = await app.inject({ ...options, payload })
    expect(answer.json().code).toBe(code)
    expect(answer.statusCode).toBe(400)
  })

  test.each(['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data', 'x/y'])(
    'refuses a body that is %s, as a form on a foreign page would send it',
    async (type) => {
      const { app, station } = makeWeb({ auto: false })
      const answer = await app.inject({
        method: 'POST',
        url: '/api/station/act',
        headers: { 'content-type': type },
        payload: '{"act":"datum"}',
      })
      expect(answer.statusCode).toBe(415)
      expect(answer.json().code).toBe('not-json')
      expect(station.acts).toEqual([])
    },
  )

  test('refuses a body without a type', async () => {
    const { app } = makeWeb({ auto: false })
    const answer = await app.inject({
      method: 'POST',
      url: '/api/station/act',
      payload: Buffer.from('{"act":"datum"}'),
    })
    expect(answer.statusCode).toBe(415)
  })

  test('changes nothing by GET', async () => {
    const { app, station } = makeWeb({ auto: false })
    expect((await app.inject('/api/station/act?act=datum')).statusCode).toBe(404)
    expect(station.acts).toEqual([])
  })

  test('a mistake inside is told in the log, not to the caller', async () => {
    const { app, logged } = makeWeb({
      wrap: (station) => ({
        ...station,
        act() {
          throw new TypeError('secret path /home/x')
        },
      }),
    })
    const answer = await act(app, { act: 'datum' })
    expect(answer.statusCode).toBe(500)
    expect(answer.json()).toEqual({
      code: 'internal',
      sentence: 'Something went wrong inside the daemon; its log says what.',
    })
    expect(JSON.stringify(logged)).toContain('secret path /home/x')
  })
})

describe('PUT /api/station/setup', () => {
  const put = (app: ReturnType<typeof makeWeb>['app'], payload: object) =>
    app.inject({ method: 'PUT', url: '/api/station/setup', payload })
  const other = { ...SHOP_SETUP, tube: { ...SHOP_SETUP.tube, lot: 'H-2208' } }

  test('takes it into use, numbered, and lists it first', async () => {
    const { app, station } = makeWeb({ auto: false })
    const answer = await put(app, other)
    expect(answer.json()).toMatchObject({ id: 2, setup: other })
    expect(station.state().setup?.id).toBe(2)
    const list = (await app.inject('/api/station/setups')).json()
    expect(list.map(({ id }: { id: number }) => id)).toEqual([2, 1])
  })

  test('an equal one keeps its number', async () => {
    const { app } = makeWeb({ auto: false })
    expect((await put(app, SHOP_SETUP)).json().id).toBe(1)
  })

  test('is refused in mid-bend', async () => {
    const { app, station } = makeWeb()
    station.step(400)
    const answer = await put(app, other)
    expect(answer.statusCode).toBe(409)
    expect(answer.json().sentence).toBe('A bend is under way: finish it first.')
  })

  test.each([
    [{ die: { ...SHOP_SETUP.die, clrMm: 1 } }, 'die.clrMm must be at least 5, not 1.'],
    [{ tube: { ...SHOP_SETUP.tube, odMm: '38.1' } }, 'tube.odMm must be a number, not "38.1".'],
    [{ sensor: { ...SHOP_SETUP.sensor, mount: 'roof' } }, 'sensor.mount must be one of "die"'],
    [{ station: '' }, 'station must not be empty'],
    [{ station: undefined }, 'station is missing.'],
    [{ id: 7 }, '"id" is not known here; leave it out.'],
  ])('refuses %j', async (change, sentence) => {
    const { app, station } = makeWeb({ auto: false })
    const answer = await put(app, { ...SHOP_SETUP, ...change })
    expect(answer.statusCode).toBe(400)
    expect(answer.json().sentence).toContain(sentence)
    expect(station.history.setups()).toHaveLength(1)
  })

  test('passes on what the domain says of a tube that cannot be', async () => {
    const error = new DomainError('TUBE_WALL', { odMm: 38.1, wallMm: 20 })
    const { app } = makeWeb({
      wrap: (station) => ({
        ...station,
        useSetup() {
          throw error
        },
      }),
    })
    const answer = await put(app, SHOP_SETUP)
    expect(answer.statusCode).toBe(400)
    const refusal = { code: 'bad-input', sentence: error.message, field: 'tube.wallMm' }
    expect(answer.json()).toEqual(refusal)
  })
})

describe('PUT /api/station/job', () => {
  const put = (app: ReturnType<typeof makeWeb>['app'], payload: object) =>
    app.inject({ method: 'PUT', url: '/api/station/job', payload })

  test('is what is bent from now on', async () => {
    const { app, station } = makeWeb({ auto: false })
    const job = { ...SHOP_JOB, wantedDeg: 45, piece: 3 }
    expect((await put(app, job)).json()).toEqual({ done: true })
    expect(station.state().job).toEqual(job)
    expect(station.state().aim?.commandedDeg).toBeGreaterThan(45)
  })

  test.each([
    [{ wantedDeg: 200.1 }, 'wantedDeg'],
    [{ toleranceDeg: 0 }, 'toleranceDeg'],
    [{ bendNumber: 1000 }, 'bendNumber'],
    [{ piece: 0 }, 'piece'],
    [{ operator: '' }, 'operator'],
    [{ part: 'x'.repeat(81) }, 'part'],
  ])('refuses %j and names the field', async (change, field) => {
    const { app, station } = makeWeb({ auto: false })
    const answer = await put(app, { ...SHOP_JOB, ...change })
    expect(answer.statusCode).toBe(400)
    expect(answer.json().field).toBe(field)
    expect(station.state().job).toEqual(SHOP_JOB)
  })

  test('refuses a number that JSON cannot hold', async () => {
    const { app } = makeWeb({ auto: false })
    const payload = JSON.stringify(SHOP_JOB).replace('"wantedDeg":90', '"wantedDeg":1e999')
    const answer = await app.inject({
      method: 'PUT',
      url: '/api/station/job',
      headers: JSON_TYPE,
      payload,
    })
    expect(answer.statusCode).toBe(400)
    expect(answer.json().field).toBe('wantedDeg')
  })

  test('a refusal of the station that names a field keeps it', async () => {
    const { app } = makeWeb({
      wrap: (station) => ({
        ...station,
        useJob() {
          throw new Refused('bad-input', 'The bender turns no further than 120°.', 'wantedDeg')
        },
      }),
    })
    expect((await put(app, SHOP_JOB)).json()).toEqual({
      code: 'bad-input',
      sentence: 'The bender turns no further than 120°.',
      field: 'wantedDeg',
    })
  })
})

test.each(['\u0000', '\u202e', '<script>alert(1)</script>', "'; drop table bends; --", '💥'])(
  'a name of %j comes back as it was given',
  async (part) => {
    const { app } = makeWeb({ auto: false })
    const payload = { ...SHOP_JOB, part }
    await app.inject({ method: 'PUT', url: '/api/station/job', payload })
    const answer = await app.inject('/api/station')
    expect(answer.json().job.part).toBe(part)
    expect(answer.headers['content-type']).toBe('application/json; charset=utf-8')
  },
)
