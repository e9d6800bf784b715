import { once } from 'node:events'
import { connect } from 'node:net'
import type { InjectOptions } from 'fastify'
import { describe, expect, test } from 'vitest'
import { catalogue } from '../../server/blocks/index.ts'
import { dieEncoderChain } from '../../server/blocks/shipped/die-encoder.ts'
import { HistoryError } from '../../server/history/errors.ts'
import type { Refusal } from '../../server/messages/commands.ts'
import type { SignInAsk } from '../../server/messages/people.ts'
import { refuseRerun, rerun } from '../../server/station/rerun.ts'
import { ERRORS, type ErrorCode } from '../../server/web/errors.ts'
import { ADMINISTRATOR, OPERATOR, signIn, withPeople } from '../support/enrolled.ts'
import {
  bodyOfRaw,
  listenWeb,
  makeWeb,
  openLive,
  rawHttp,
  statusOfRaw,
  type TestWeb,
  type TestWebOptions,
  turnedAway,
} from '../support/web.ts'

interface Seen {
  readonly status: number
  readonly body: Refusal
}

type Request = string | InjectOptions

async function inject(request: Request, options: TestWebOptions = {}): Promise<Seen> {
  const answer = await makeWeb({ auto: false, ...options }).app.inject(request)
  return { status: answer.statusCode, body: answer.json() }
}

async function raw(text: string): Promise<Seen> {
  const { port } = await listenWeb()
  const answer = await rawHttp(port, text)
  return { status: statusOfRaw(answer), body: bodyOfRaw(answer) }
}

const ANCIENT_CHAIN = JSON.stringify(dieEncoderChain).replace(
  '"kind":"spike-guard"',
  '"kind":"abacus"',
)

const json = { 'content-type': 'application/json' }
const act = (payload: unknown, headers = json): Request => ({
  method: 'POST',
  url: '/api/station/act',
  headers,
  payload: typeof payload === 'string' ? payload : JSON.stringify(payload),
})
const pair = (code: string): Request => ({ method: 'POST', url: '/api/pair', payload: { code } })

const failing = (error: Error): TestWebOptions => ({
  wrap: (station) => ({
    ...station,
    useSetup() {
      throw error
    },
    history: {
      ...station.history,
      count() {
        throw error
      },
      page() {
        throw error
      },
    },
  }),
})

const post = (url: string, payload: object): InjectOptions => ({ method: 'POST', url, payload })
const CALIBRATION = { who: 'Q', gauge: { name: 'Blocks', certificate: '' }, toleranceDeg: 1 }
const PIECE = { who: 'Q', name: 'P', knownDeg: 90, standardDeg: 0.05, limitDeg: 0.2 }

const NOTEBOOK = {
  ...{ file: 'n.csv', text: 'Date', separator: 'comma', decimal: 'point', dates: 'year-first' },
  ...{ setupId: 1, mapping: {}, who: 'Q', teach: false },
}

async function whileMoving(): Promise<Seen> {
  const { app, station } = makeWeb()
  station.step(500)
  const answer = await app.inject(post('/api/readout/capture', {}))
  return { status: answer.statusCode, body: answer.json() }
}

async function beforeDatum(): Promise<Seen> {
  const { app } = makeWeb({ auto: false })
  await app.inject(post('/api/readout/pieces', { ...PIECE, gauge: CALIBRATION.gauge }))
  const answer = await app.inject(post('/api/readout/checks', { who: 'Q', piece: 1 }))
  return { status: answer.statusCode, body: answer.json() }
}

/** A record whose chain has a block that is no more. */
const oldRecord = () =>
  inject('/api/bends/1/trace', {
    wrap: (station) => ({
      ...station,
      trace: (id) =>
        rerun({ chain: ANCIENT_CHAIN, snapshot: '{}', lines: [] }, catalogue).then(
          ({ trace }) => trace,
          (error: unknown) => refuseRerun(id, error),
        ),
    }),
  })

async function abandonedBend(): Promise<Seen> {
  const { app, station } = makeWeb()
  station.act({ act: 'datum' })
  station.step(600)
  station.act({ act: 'abandon' })
  const decision = { who: 'Quality', decision: 'put-back', reason: 'It looked right.' }
  const answer = await app.inject(post('/api/bends/1/teaching', decision))
  return { status: answer.statusCode, body: answer.json() }
}

/** An act about the first bend. */
async function actOn(address: string, body: object): Promise<Seen> {
  const { app, station } = makeWeb({ auto: true })
  station.step(1201)
  const answer = await app.inject(post(`/api/bends/1/${address}`, { who: 'Quality', ...body }))
  return { status: answer.statusCode, body: answer.json() }
}

const VIEW = { name: 'V', filter: {}, who: 'Q', at: '2026-01-05T07:00:00.000+01:00' }

/** One view more than are there. */
async function savedViews(prepare: (station: TestWeb['station']) => void): Promise<Seen> {
  const { app, station } = makeWeb()
  prepare(station)
  const { at, ...payload } = VIEW
  const answer = await app.inject({ method: 'PUT', url: '/api/views', payload })
  return { status: answer.statusCode, body: answer.json() }
}

const change = (of: object) => ({
  ...{ method: 'PUT' as const, url: '/api/people' },
  payload: { change: 'retired', reason: 'Left.', ...of },
})

/** What whoever is signed in, or nobody, is told where people are enrolled. */
async function enrolled(request: InjectOptions, by: SignInAsk | null = null): Promise<Seen> {
  const { app } = await withPeople()
  const headers = by === null ? {} : { cookie: await signIn(app, by) }
  const answer = await app.inject({ ...request, headers })
  return { status: answer.statusCode, body: answer.json() }
}

async function fromAfar(): Promise<Seen> {
  const { app, access } = makeWeb({ host: '0.0.0.0' })
  const remoteAddress = '192.0.2.50'
  const paired = await app.inject({ ...(pair(access.pairingCode ?? '') as object), remoteAddress })
  const cookie = String(paired.headers['set-cookie']).split(';', 1)[0] ?? ''
  const request = post('/api/people/first', ADMINISTRATOR)
  const answer = await app.inject({ ...request, remoteAddress, headers: { cookie } })
  return { status: answer.statusCode, body: answer.json() }
}

async function fullHouse(): Promise<Seen> {
  const { port } = await listenWeb()
  const pages = Array.from({ length: 256 }, () => openLive(port))
  await Promise.all(pages.map((page) => page.next(({ type }) => type === 'hello')))
  return turnedAway(`ws://127.0.0.1:${port}/live`, { origin: `http://127.0.0.1:${port}` })
}

async function tooManyTries(): Promise<Seen> {
  const { app } = makeWeb({ host: '0.0.0.0' })
  for (let i = 0; i < 5; i++) await app.inject(pair('x'))
  const answer = await app.inject(pair('x'))
  return { status: answer.statusCode, body: answer.json() }
}

/** Node looks for late requests every 30 s; the test says at once what it would say then. */
async function tooLate(): Promise<Seen> {
  const { app, port } = await listenWeb()
  const arrived = once(app.server, 'connection')
  const socket = connect(port, '127.0.0.1')
  const heard = once(socket, 'data')
  const [ours] = await arrived
  const late = Object.assign(new Error('Request timeout'), { code: 'ERR_HTTP_REQUEST_TIMEOUT' })
  app.server.emit('clientError', late, ours)
  const answer = String((await heard)[0])
  socket.destroy()
  return { status: statusOfRaw(answer), body: bodyOfRaw(answer) }
}

/** One way to each code of the table. A code that is added without a way to it does not compile. */
const WAYS: Readonly<Record<ErrorCode, () => Promise<Seen>>> = {
  'bad-input': () => inject(act({ act: 'jump' })),
  'bad-json': () => inject(act('{')),
  'chain-refused': () => inject(post('/api/chain/check', { file: {} })),
  'calibration-refused': () =>
    inject(post('/api/readout/calibrations', { ...CALIBRATION, points: [] })),
  'notebook-refused': () => inject(post('/api/notebook', NOTEBOOK)),
  'bad-request': () => inject('/%'),
  'not-paired': () =>
    inject({ url: '/api/station', remoteAddress: '192.0.2.50' }, { host: '0.0.0.0' }),
  'wrong-code': () => inject(pair('x'), { host: '0.0.0.0' }),
  'not-signed-in': () => enrolled(post('/api/readout/capture', {})),
  'wrong-password': () => inject(post('/api/session', { name: 'Nobody', password: 'x' })),
  'not-your-role': () => enrolled({ method: 'PUT', url: '/api/wire' }, OPERATOR),
  'own-machine-only': fromAfar,
  'only-to-look': () => inject(act({ act: 'datum' }), { isToLook: true }),
  'foreign-page': () =>
    inject({ url: '/api/station', headers: { 'sec-fetch-site': 'cross-site' } }),
  'no-such-address': () => inject('/api/x'),
  'no-such-station': () => inject('/api/stations/nobody/wire'),
  'no-such-bend': () => inject('/api/bends/1'),
  'empty-piece': () => inject('/api/piece?part=none&piece=1'),
  'no-certificate': () => inject('/api/certificate?part=none'),
  'no-such-setup': () => inject('/api/springback?setup=77'),
  'no-such-photo': () => inject(`/api/photos/${'0'.repeat(64)}`),
  'no-such-revision': () => inject('/api/chain/revisions/1'),
  'no-such-piece': () => inject('/api/readout/pieces/1/chart'),
  'no-such-person': () => enrolled(change({ name: 'Nobody' }), ADMINISTRATOR),
  'no-such-view': () => inject({ method: 'DELETE', url: '/api/views?name=x' }),
  'no-dashboard': () => inject('/'),
  'timed-out': tooLate,
  'not-now': () => inject(act({ act: 'accept' })),
  'no-setup': () => inject(act({ act: 'datum' }), { ready: false }),
  'no-signal': () => inject(post('/api/readout/capture', {})),
  'not-still': whileMoving,
  'no-datum': beforeDatum,
  'no-key': () => inject('/api/bends/signed'),
  'no-bench': () => inject({ method: 'POST', url: '/api/bench', payload: {} }, { bench: false }),
  'teaches-nothing': abandonedBend,
  'changed-since': () =>
    actOn('amendments', { field: 'operator', from: 'Nobody', to: 'B', reason: 'It was B.' }),
  'nothing-to-do': () =>
    actOn('amendments', { field: 'note', from: null, to: null, reason: 'Nothing.' }),
  'not-signable': () => actOn('signatures', { role: 'counter-signed', meaning: 'I agree.' }),
  'view-exists': () => savedViews((station) => station.history.remember('view 1', VIEW)),
  'too-many-views': () =>
    savedViews(({ history }) => {
      for (let n = 1; n <= 200; n++) history.remember(`view ${n}`, { ...VIEW, name: `V${n}` })
    }),
  'people-refused': () => enrolled(change({ name: ADMINISTRATOR.name }), ADMINISTRATOR),
  'no-rerun': oldRecord,
  'no-pairing': () => inject(pair('x')),
  'too-large': () => inject(act('x'.repeat(100_000))),
  'not-json': () => inject(act('x', { 'content-type': 'text/plain' })),
  'wrong-host': () => inject({ url: '/', headers: { host: 'evil.test' } }),
  'not-a-socket': () => inject('/live'),
  'too-many-tries': tooManyTries,
  'headers-too-large': () => raw(`GET / HTTP/1.1\r\nX: ${'a'.repeat(40_000)}\r\n\r\n`),
  internal: () => inject('/api/bends', failing(new Error('secret'))),
  'storage-failed': () => inject('/api/bends', failing(new HistoryError('HISTORY_DISK_FAULT'))),
  'too-many-clients': fullHouse,
  'storage-full': () => inject('/api/bends', failing(new HistoryError('HISTORY_DISK_FULL'))),
}

describe('each code of the table can be met', () => {
  test.each(Object.keys(WAYS) as ErrorCode[])('%s', async (code) => {
    const { status, body } = await WAYS[code]()
    expect(body.code).toBe(code)
    expect(status).toBe(ERRORS[code][0])
    expect(body.sentence).toMatch(/^[A-Za-z"].*\.$/s)
    expect(body.sentence).not.toContain('{what}')
    expect(body.sentence).not.toContain('secret')
    expect(Object.keys(body).toSorted()).toEqual(
      'field' in body ? ['code', 'field', 'sentence'] : ['code', 'sentence'],
    )
  })
})
