import { readFileSync } from 'node:fs'
import { describe, expect, test, vi } from 'vitest'
import type { SignInAsk } from '../../server/messages/people.ts'
import { ADMINISTRATOR, OPERATOR, REVIEWER, signIn, withPeople } from '../support/enrolled.ts'
import { makeManualClock } from '../support/manual-clock.ts'
import { makeWeb } from '../support/web.ts'

// Every route by everybody, beside other tests.
vi.setConfig({ testTimeout: 120_000 })

const RANKS = ['operator', 'reviewer', 'administrator']
const READS = ['GET', 'HEAD', 'OPTIONS']
const addressOf = (url: string) => url.replace(':id', '1')

/** Routes are there once the app is ready. */
async function maysOf({ app } = makeWeb({ auto: false })) {
  await app.ready()
  expect(app.mays.length).toBeGreaterThan(50)
  return app.mays
}

describe('who may what', () => {
  test('every route that changes something says who may', async () => {
    const silent = (await maysOf()).filter(
      ({ method, isSaid }) => !READS.includes(method) && !isSaid,
    )
    expect(silent).toEqual([])
  })

  test('the table in the documents is the table in the code', async () => {
    const said = readFileSync(new URL('../../DEVELOPERS.md', import.meta.url), 'utf8')
    const rows = (await maysOf())
      // Every bender has the same once more under an address of its own.
      .filter(({ url }) => !url.startsWith('/api/stations/'))
      .filter(({ method, may }) => !READS.includes(method) || may !== 'watch')
      .map(({ method, url, may }) => `| \`${method} ${url}\` | ${may} |`)
    expect(rows.filter((row) => !said.includes(row))).toEqual([])
    const listed = said.match(/^\| `(GET|POST|PUT|DELETE|PATCH) \/api\S+` \|.*$/gm) ?? []
    expect(listed.filter((row) => !rows.includes(row))).toEqual([])
  })

  test('each route refuses whoever may less, and lets through whoever may enough', async () => {
    const web = await withPeople()
    const { app } = web
    const cookies = [
      null,
      await signIn(app, OPERATOR),
      await signIn(app, REVIEWER),
      await signIn(app, ADMINISTRATOR),
    ]
    for (const { method, url, may } of await maysOf(web)) {
      if (url === '/api/session' || method === 'HEAD') continue
      // Whatever only reads is everybody's: asked once is enough.
      const callers = may === 'watch' ? cookies.slice(0, 1) : cookies
      for (const [rank, cookie] of callers.entries()) {
        const answer = await app.inject({
          method: method as 'GET',
          url: addressOf(url),
          ...(cookie !== null && { headers: { cookie } }),
          ...(!READS.includes(method) && { payload: {} }),
        })
        const { code } = String(answer.headers['content-type']).includes('json')
          ? answer.json()
          : { code: null }
        const needed = RANKS.indexOf(may) + 1
        const expected = rank >= needed ? null : rank === 0 ? 'not-signed-in' : 'not-your-role'
        const told = ['not-signed-in', 'not-your-role'].includes(code) ? code : null
        expect(told, `${method} ${url} by rank ${rank}`).toBe(expected)
      }
    }
  })

  test('in an open shop nothing asks who one is', async () => {
    const web = makeWeb({ auto: false })
    const { app } = web
    for (const { method, url } of await maysOf(web)) {
      if (READS.includes(method)) continue
      const answer = await app.inject({
        method: method as 'POST',
        url: addressOf(url),
        payload: {},
      })
      if (url !== '/api/people' && url !== '/api/session/password')
        expect(answer.json().code, `${method} ${url}`).not.toBe('not-signed-in')
    }
  })
})

describe('the first administrator', () => {
  const first = (app: ReturnType<typeof makeWeb>['app'], payload: object = ADMINISTRATOR) =>
    app.inject({ method: 'POST', url: '/api/people/first', payload })

  test('is enrolled once, is signed in at once, and the shop is open no more', async () => {
    const { app, station } = makeWeb()
    expect((await app.inject('/api/session')).json()).toEqual({
      ...{ isOpenShop: true, person: null, mayBeFirst: true },
    })
    const answer = await first(app)
    const set = String(answer.headers['set-cookie'])
    expect(set).toMatch(
      /^overbend_person=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict; Max-Age=43200$/,
    )
    const cookie = set.split(';', 1)[0] ?? ''
    expect((await app.inject({ url: '/api/session', headers: { cookie } })).json()).toEqual({
      isOpenShop: false,
      person: { name: 'Ada', role: 'administrator', isActive: true },
      mayBeFirst: false,
    })
    expect((await first(app, { ...ADMINISTRATOR, name: 'Eve' })).json().code).toBe('people-refused')
    expect(station.history.people()).toHaveLength(1)
  })

  test.each([
    { password: 'short' },
    { name: '' },
    { name: '  ' },
    { name: 'A\u200Bda' },
    { name: '\u0410da' },
    { password: 'x'.repeat(201) },
  ])('with %j is refused', async (change) => {
    const { app, station } = makeWeb()
    expect((await first(app, { ...ADMINISTRATOR, ...change })).statusCode).toBe(400)
    expect(station.history.people()).toEqual([])
  })

  test('of two who ask at once is one', async () => {
    const { app, station } = makeWeb()
    const answers = await Promise.all([first(app), first(app, { ...ADMINISTRATOR, name: 'Eve' })])
    expect(answers.map(({ statusCode }) => statusCode).toSorted()).toEqual([200, 409])
    expect(station.history.people()).toHaveLength(1)
  })
})

describe('signing in', () => {
  const attempt = (app: ReturnType<typeof makeWeb>['app'], payload: SignInAsk) =>
    app.inject({ method: 'POST', url: '/api/session', payload })

  test('an unknown name, a retired person and a wrong password are told the same', async () => {
    const { app, people } = await withPeople()
    const retire = { who: 'Ada', name: 'Olaf', change: 'retired', reason: 'Left.' } as const
    await people.change(retire, 'signed-in')
    const answers = await Promise.all([
      attempt(app, { name: 'Nobody', password: 'x' }),
      attempt(app, OPERATOR),
      attempt(app, { ...REVIEWER, password: 'x' }),
    ])
    expect(answers.map(({ statusCode }) => statusCode)).toEqual([401, 401, 401])
    expect(new Set(answers.map(({ body }) => body)).size).toBe(1)
  })

  test('wrong passwords lock their name, not another, and the lock ends', async () => {
    const clock = makeManualClock()
    const { app } = await withPeople({ clock })
    const wrong = { ...OPERATOR, password: 'x' }
    const codes: number[] = []
    for (let i = 0; i < 7; i++) codes.push((await attempt(app, wrong)).statusCode)
    expect(codes).toEqual([401, 401, 401, 401, 401, 429, 429])
    expect((await attempt(app, OPERATOR)).statusCode).toBe(429)
    expect((await attempt(app, REVIEWER)).statusCode).toBe(200)
    clock.advance(121)
    expect((await attempt(app, OPERATOR)).statusCode).toBe(200)
  })

  test('many tries at once are counted each', async () => {
    const { app } = await withPeople()
    const wrong = { ...OPERATOR, password: 'x' }
    const answers = await Promise.all(Array.from({ length: 20 }, () => attempt(app, wrong)))
    expect(answers.filter(({ statusCode }) => statusCode === 401)).toHaveLength(5)
  })

  test('a session ends after twelve hours, by signing out, by retirement and by another password', async () => {
    const clock = makeManualClock()
    const { app, people } = await withPeople({ clock })
    const whoIs = async (cookie: string) =>
      (await app.inject({ url: '/api/session', headers: { cookie } })).json().person?.name ?? null
    const cookie = await signIn(app, OPERATOR)
    clock.advance(12 * 3600 - 1)
    expect(await whoIs(cookie)).toBe('Olaf')
    clock.advance(1)
    expect(await whoIs(cookie)).toBeNull()
    const out = await signIn(app, OPERATOR)
    await app.inject({ method: 'DELETE', url: '/api/session', headers: { cookie: out } })
    expect(await whoIs(out)).toBeNull()
    const before = await signIn(app, OPERATOR)
    await people.ownPassword('Olaf', { old: OPERATOR.password, password: 'forty-five degrees' })
    expect(await whoIs(before)).toBeNull()
    const last = await signIn(app, { ...OPERATOR, password: 'forty-five degrees' })
    const retire = { who: 'Ada', name: 'Olaf', change: 'retired', reason: 'Left.' } as const
    await people.change(retire, 'signed-in')
    expect(await whoIs(last)).toBeNull()
  })

  test('a device that is not paired signs nobody in', async () => {
    const { app } = await withPeople({ host: '0.0.0.0' })
    const from = { remoteAddress: '192.0.2.50' }
    const answer = await app.inject({
      method: 'POST',
      url: '/api/session',
      payload: OPERATOR,
      ...from,
    })
    expect(answer.json().code).toBe('not-paired')
  })
})

describe('changing people', () => {
  test('each change is entered by whoever is signed in, whatever name was typed, and no password with it', async () => {
    const { app, station } = await withPeople()
    const headers = { cookie: await signIn(app, ADMINISTRATOR) }
    const change = (payload: object) =>
      app.inject({ method: 'PUT', url: '/api/people', headers, payload })
    const of = { who: 'Eve', name: 'Olaf', reason: 'As agreed.' }
    expect((await change({ ...of, change: 'role', role: 'reviewer' })).json().role).toBe('reviewer')
    const password = 'forty-five degrees'
    expect((await change({ ...of, change: 'password', password })).statusCode).toBe(200)
    expect((await change({ ...of, change: 'retired' })).json().isActive).toBe(false)
    expect((await change({ ...of, change: 'retired' })).json().code).toBe('nothing-to-do')
    expect((await change({ ...of, change: 'returned' })).json().isActive).toBe(true)
    const changes = station.history.personChanges().slice(3)
    expect(changes.map(({ who, whoKnownBy, change: what }) => [who, whoKnownBy, what])).toEqual([
      ['Ada', 'signed-in', 'role'],
      ['Ada', 'signed-in', 'password'],
      ['Ada', 'signed-in', 'retired'],
      ['Ada', 'signed-in', 'returned'],
    ])
    expect(JSON.stringify(station.history.personChanges())).not.toContain(password)
  })

  test('the only administrator stays one', async () => {
    const { app, station } = await withPeople()
    const headers = { cookie: await signIn(app, ADMINISTRATOR) }
    for (const change of [{ change: 'retired' }, { change: 'role', role: 'operator' }]) {
      const payload = { name: 'Ada', reason: 'Left.', ...change }
      const answer = await app.inject({ method: 'PUT', url: '/api/people', headers, payload })
      expect(answer.json().code).toBe('people-refused')
    }
    expect(station.history.personChanges()).toHaveLength(3)
  })

  test('a name is given once, however it is written', async () => {
    const { app } = await withPeople()
    const headers = { cookie: await signIn(app, ADMINISTRATOR) }
    const payload = { role: 'operator', password: 'ninety degrees', reason: 'New.' }
    for (const name of ['Olaf', 'olaf', 'OLAF', 'Ｏlaf', ' Olaf ', 'Ol\u00ADaf']) {
      const request = { method: 'POST' as const, url: '/api/people', headers }
      const answer = await app.inject({ ...request, payload: { ...payload, name } })
      const code = name.includes('\u00AD') ? 'bad-input' : 'people-refused'
      expect(answer.json()).toMatchObject({ code, field: 'name' })
    }
  })

  test('a new name is spaced once, is compared so, and mixes no alphabets that look alike', async () => {
    const { app } = await withPeople()
    const headers = { cookie: await signIn(app, ADMINISTRATOR) }
    const enrol = async (name: string) => {
      const payload = { name, role: 'operator', password: 'ninety degrees', reason: 'New.' }
      const answer = await app.inject({ method: 'POST', url: '/api/people', headers, payload })
      return answer.json()
    }
    expect(await enrol(' Ada\u00A0 Boss ')).toMatchObject({ name: 'Ada Boss' })
    expect(await enrol('Ada  Boss')).toMatchObject({ code: 'people-refused', field: 'name' })
    expect(await enrol('\u0410da Boss')).toMatchObject({ code: 'bad-input', field: 'name' })
    expect((await enrol('Ada\u200BBoss')).sentence).toBe(
      'name has a character in it that nobody sees (U+200B): type the name again without it.',
    )
    await signIn(app, { name: 'ada  boss', password: 'ninety degrees' })
  })

  test('who was enrolled under a name that would be refused today signs in and acts under it', async () => {
    const { app, people, station } = await withPeople({ auto: true })
    station.step(1201)
    const given = { schema: 1, at: '2026-01-05T08:00:00+01:00', software: 'x' } as const
    for (const person of ['Q\u200BA', 'QA'])
      station.history.addPersonChange(
        {
          ...{ ...given, who: 'Ada', whoKnownBy: 'typed', person, change: 'added' },
          ...{ role: 'operator', reason: 'Before.' },
        },
        'fake ninety degrees',
      )
    expect(people.list().map(({ name }) => name)).toEqual(
      expect.arrayContaining(['Q\u200BA', 'QA']),
    )
    for (const name of ['Q\u200BA', 'QA']) {
      const headers = { cookie: await signIn(app, { name, password: 'ninety degrees' }) }
      const payload = { who: 'Ada', text: 'Seen.' }
      const note = await app.inject({ method: 'POST', url: '/api/bends/1/notes', headers, payload })
      expect(note.json()).toMatchObject({ who: name, whoKnownBy: 'signed-in' })
    }
  })
})

describe('acts by name', () => {
  async function withBend() {
    const web = await withPeople({ auto: true })
    web.station.step(1201)
    const as = async (person: SignInAsk) => {
      const headers = { cookie: await signIn(web.app, person) }
      return (address: string, payload: object) =>
        web.app.inject({ method: 'POST', url: `/api/bends/1/${address}`, headers, payload })
    }
    return { ...web, as }
  }

  test('are entered for whoever is signed in', async () => {
    const { as, station } = await withBend()
    const note = await (await as(OPERATOR))('notes', { who: 'Somebody else', text: 'Seen.' })
    expect(note.json()).toMatchObject({ who: 'Olaf', whoKnownBy: 'signed-in' })
    expect(station.history.actsOn(1)).toHaveLength(1)
  })

  test('signing asks for the password again, and counter-signing for a reviewer who is another person', async () => {
    const { as, station } = await withBend()
    const signed = { role: 'signed', meaning: 'I checked it.' }
    const olaf = await as(OPERATOR)
    expect((await olaf('signatures', signed)).json().field).toBe('password')
    expect((await olaf('signatures', { ...signed, password: 'x' })).json().code).toBe(
      'wrong-password',
    )
    const { password } = OPERATOR
    expect((await olaf('signatures', { ...signed, password })).json()).toMatchObject({
      ...{ who: 'Olaf', whoKnownBy: 'password', role: 'signed' },
    })
    const counter = { role: 'counter-signed', meaning: 'So did I.' }
    expect((await olaf('signatures', { ...counter, password })).json().code).toBe('not-your-role')
    const rosa = await as(REVIEWER)
    const answer = await rosa('signatures', { ...counter, password: REVIEWER.password })
    expect(answer.json()).toMatchObject({ who: 'Rosa', role: 'counter-signed' })
    expect(JSON.stringify(station.history.actsOn(1))).not.toContain(password)
  })
})

describe('a secret', () => {
  const SECRET = 'geheim'
  const SECRET_NAME = /password|secret|token|^old$|^code$/i

  interface Schema {
    readonly format?: string
    readonly properties?: Readonly<Record<string, Schema>>
  }

  test('is marked as one in every body of the API', async () => {
    const { app } = makeWeb()
    const { paths } = (await app.inject('/api/openapi.json')).json()
    const marked: string[] = []
    for (const [path, methods] of Object.entries<Record<string, Record<string, never>>>(paths))
      for (const [method, { requestBody }] of Object.entries(methods)) {
        const { schema } = (requestBody?.['content']?.['application/json'] ?? {}) as {
          schema?: Schema
        }
        for (const [field, { format }] of Object.entries(schema?.properties ?? {})) {
          // The code of a tube's surface is none.
          if (SECRET_NAME.test(field) && !path.endsWith('/inspections'))
            expect(format, `${method} ${path} ${field}`).toBe('password')
          if (format === 'password') marked.push(`${method} ${path} ${field}`)
        }
      }
    expect(marked).toEqual(
      expect.arrayContaining([
        'post /api/session password',
        'post /api/people/first password',
        'post /api/people password',
        'put /api/people password',
        'put /api/session/password old',
        'put /api/session/password password',
        'post /api/bends/{id}/signatures password',
        'post /api/piece/signatures password',
        'post /api/pair code',
      ]),
    )
  })

  test.each(['POST /api/people/first', 'POST /api/people', 'PUT /api/people', 'POST /api/session'])(
    '%s repeats no refused one',
    async (route) => {
      const { app } = await withPeople()
      const headers = { cookie: await signIn(app, ADMINISTRATOR) }
      const [method, url] = route.split(' ') as ['POST' | 'PUT', string]
      const around = {
        ...(route.includes('first') || route.endsWith('session') ? {} : { reason: 'New.' }),
        ...(route === 'POST /api/people' && { role: 'operator' }),
        ...(method === 'PUT' && { change: 'password' }),
      }
      for (const password of [SECRET, SECRET.repeat(40), [SECRET]]) {
        const payload = { ...around, name: 'Otto', password }
        const answer = await app.inject({ method, url, headers, payload })
        expect(answer.body).not.toContain(SECRET)
        if (Array.isArray(password)) expect(answer.json().field).toBe('password')
      }
    },
  )
})

describe('a name that is typed', () => {
  test('is spaced once, refused with what nobody sees in it, and beside it all stays as it was typed', async () => {
    const { app, station } = makeWeb()
    station.step(1201)
    const post = (address: string, payload: object) =>
      app.inject({ method: 'POST', url: `/api/bends/1/${address}`, payload })
    const text = '  👩\u200D🔧  \u202Eרשימה\u200B '
    const note = await post('notes', { who: ' Ada\u00A0 Boss ', text })
    expect(note.json()).toMatchObject({ who: 'Ada Boss', whoKnownBy: 'typed', text })
    expect((await post('notes', { who: 'Q\u200BA', text })).json()).toEqual({
      ...{ code: 'bad-input', field: 'who' },
      sentence:
        'who has a character in it that nobody sees (U+200B): type the name again without it.',
    })
    expect((await post('notes', { who: ' \u00A0 ', text })).json().field).toBe('who')
    const { operator } = station.history.bend(1) as { operator: string }
    const amend = { who: 'Ada', field: 'operator', from: operator, reason: 'Misread.' }
    expect((await post('amendments', { ...amend, to: 'Q\u200BA' })).json().field).toBe('to')
    expect((await post('amendments', { ...amend, to: ' Q  A ' })).json().to).toBe('Q A')
  })

  test('that another one counter-signs under is not the same with something in it that nobody sees', async () => {
    const { app, station } = makeWeb()
    station.step(1201)
    const sign = async (who: string, role: string) => {
      const payload = { who, role, meaning: 'I checked it.' }
      const url = '/api/bends/1/signatures'
      return (await app.inject({ method: 'POST', url, payload })).json()
    }
    expect((await sign('QA', 'signed')).who).toBe('QA')
    expect((await sign('Q\u200BA', 'counter-signed')).field).toBe('who')
    expect((await sign('q\uFF21', 'counter-signed')).code).toBe('not-signable')
    expect((await sign('Q A', 'counter-signed')).who).toBe('Q A')
  })

  test('is marked as one in every body of the API that says who', async () => {
    const { app } = makeWeb()
    const { paths } = (await app.inject('/api/openapi.json')).json()
    const unmarked: string[] = []
    let marked = 0
    for (const [path, methods] of Object.entries<Record<string, Record<string, never>>>(paths))
      for (const [method, { requestBody }] of Object.entries(methods)) {
        const schema = requestBody?.['content']?.['application/json']?.['schema'] ?? {}
        const { properties = {} } = schema as {
          properties?: Record<string, { 'x-person-name'?: true }>
        }
        for (const [field, { 'x-person-name': isMarked }] of Object.entries(properties)) {
          if (field !== 'who' && field !== 'operator') continue
          if (isMarked) marked++
          else unmarked.push(`${method} ${path} ${field}`)
        }
      }
    expect(unmarked).toEqual([])
    expect(marked).toBeGreaterThan(10)
  })
})
