import { describe, expect, test } from 'vitest'
import type { App, TestWeb } from '../support/web.ts'
import { bodyOfRaw, listenWeb, makeWeb, rawHttp, statusOfRaw } from '../support/web.ts'

const FAR = '192.0.2.50'
const OWN_HOST = 'localhost:80'

const request = (host: string, path = '/api/health') =>
  `GET ${path} HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`

describe('over a real socket', () => {
  test.each(['evil.test', 'localhost.evil.test', 'evil.test:{port}', 'localhost:1', '', ' '])(
    'Host %j is not ours',
    async (host) => {
      const { port } = await listenWeb()
      const answer = await rawHttp(port, request(host.replace('{port}', String(port))))
      expect(statusOfRaw(answer)).toBe(421)
      expect(bodyOfRaw(answer)).toEqual({
        code: 'wrong-host',
        sentence: 'This daemon does not answer to that name; use the address it printed.',
      })
    },
  )

  test.each(['localhost', '127.0.0.1', '[::1]'])('Host %s is ours', async (name) => {
    const { port } = await listenWeb()
    expect(statusOfRaw(await rawHttp(port, request(`${name}:${port}`)))).toBe(200)
  })

  test.each(['HTTP/1.1', 'HTTP/1.0'])('no Host at all, in %s, is not ours', async (version) => {
    const { port } = await listenWeb()
    const answer = await rawHttp(port, `GET /api/health ${version}\r\nConnection: close\r\n\r\n`)
    expect(statusOfRaw(answer)).toBe(421)
  })

  test('of two Host headers the first counts, as Node reads them', async () => {
    const { port } = await listenWeb()
    const own = `localhost:${port}`
    const both = (first: string, second: string) =>
      `GET /api/station HTTP/1.1\r\nHost: ${first}\r\nHost: ${second}\r\nConnection: close\r\n\r\n`
    expect(statusOfRaw(await rawHttp(port, both('evil.test', own)))).toBe(421)
    expect(statusOfRaw(await rawHttp(port, both(own, 'evil.test')))).toBe(200)
  })

  test.each(['/', '/index.html', '/api/station', '/api/nothing', '/live', '/assets/x.js', '/*'])(
    'a foreign Host gets nowhere at %s',
    async (path) => {
      const { port } = await listenWeb()
      expect(statusOfRaw(await rawHttp(port, request('evil.test', path)))).toBe(421)
    },
  )

  test('a full address in the request line does not stand in for Host', async () => {
    const { port } = await listenWeb()
    const line = `GET http://localhost:${port}/api/health HTTP/1.1\r\nHost: evil.test\r\n`
    expect(statusOfRaw(await rawHttp(port, `${line}Connection: close\r\n\r\n`))).toBe(421)
  })

  test('who was turned away is in the log, once, with what they said as data', async () => {
    const { port, logged } = await listenWeb()
    await rawHttp(port, request('evil.test'))
    expect(logged).toEqual([
      [
        'A request was turned away.',
        {
          code: 'wrong-host',
          method: 'GET',
          url: '/api/health',
          host: 'evil.test',
          from: '127.0.0.1',
        },
      ],
    ])
  })
})

describe('a page elsewhere', () => {
  const act = (app: App, headers: Record<string, string>) =>
    app.inject({ method: 'POST', url: '/api/station/act', headers, payload: { act: 'datum' } })

  test.each([
    { origin: 'http://evil.test' },
    { origin: 'null' },
    { origin: 'http://localhost:5173' },
    { origin: 'https://localhost:80' },
    { origin: '' },
    { 'sec-fetch-site': 'cross-site' },
    { 'sec-fetch-site': 'same-site' },
    { 'sec-fetch-site': 'none' },
    { 'sec-fetch-site': '' },
    { 'sec-fetch-site': 'same-origin', origin: 'http://evil.test' },
    { 'sec-fetch-site': 'cross-site', origin: 'http://localhost:80' },
  ])('with %j changes nothing', async (headers) => {
    const { app, station } = makeWeb({ auto: false })
    const answer = await act(app, headers as Record<string, string>)
    expect(answer.statusCode).toBe(403)
    expect(answer.json().code).toBe('foreign-page')
    expect(station.acts).toEqual([])
  })

  test.each([
    {},
    { origin: 'http://localhost:80' },
    { origin: 'http://localhost' },
    { origin: 'http://127.0.0.1' },
    { 'sec-fetch-site': 'same-origin' },
    { 'sec-fetch-site': 'same-origin', origin: 'http://localhost' },
  ])('a page of ours, or a script, with %j may', async (headers) => {
    const { app, station } = makeWeb({ auto: false })
    expect((await act(app, headers as Record<string, string>)).statusCode).toBe(200)
    expect(station.acts).toHaveLength(1)
  })

  test('is refused before its body is read', async () => {
    const { app } = makeWeb({ auto: false })
    const headers = { origin: 'http://evil.test', 'content-type': 'application/json' }
    const answer = await app.inject({ method: 'POST', url: '/api/pair', headers, payload: '{' })
    expect(answer.json().code).toBe('foreign-page')
  })

  test.each(['cross-site', 'same-site'])('that is %s may not even read', async (site) => {
    const { app } = makeWeb()
    const headers = { 'sec-fetch-site': site }
    for (const url of ['/api/station', '/api/bends', '/api/history/verify', '/api/openapi.json'])
      expect((await app.inject({ url, headers })).statusCode).toBe(403)
  })

  test('may link to the dashboard, and a person may type an address', async () => {
    const { app } = makeWeb()
    const linked = await app.inject({ url: '/', headers: { 'sec-fetch-site': 'cross-site' } })
    expect(linked.json().code).toBe('no-dashboard')
    const typed = await app.inject({ url: '/api/bends', headers: { 'sec-fetch-site': 'none' } })
    expect(typed.statusCode).toBe(200)
  })

  test('gets no permission by a preflight', async () => {
    const { app } = makeWeb()
    const answer = await app.inject({
      method: 'OPTIONS',
      url: '/api/station/act',
      headers: { origin: 'http://evil.test', 'access-control-request-method': 'POST' },
    })
    expect(answer.statusCode).toBe(404)
    expect(answer.headers).not.toHaveProperty('access-control-allow-origin')
  })
})

describe('open to the shop’s network', () => {
  const open = () => makeWeb({ host: '0.0.0.0', auto: false })
  const from = (app: App, url: string, cookie?: string) =>
    app.inject({ url, remoteAddress: FAR, headers: { host: OWN_HOST, ...(cookie && { cookie }) } })
  const pair = (app: App, code: unknown) =>
    app.inject({ method: 'POST', url: '/api/pair', remoteAddress: FAR, payload: { code } })
  const cookieOf = (answer: Awaited<ReturnType<typeof pair>>) =>
    String(answer.headers['set-cookie']).split(';', 1)[0] ?? ''

  const PROTECTED = [
    '/api/station',
    '/api/station/setups',
    '/api/bends',
    '/api/bends/1',
    '/api/bends/1/trace',
    '/api/bends/1/raw',
    '/api/materials',
    '/api/history/verify',
    '/api/openapi.json',
    '/live',
  ]

  test.each(PROTECTED)('%s asks an unpaired device to pair', async (url) => {
    const { app } = open()
    const answer = await from(app, url)
    expect(answer.statusCode).toBe(401)
    expect(answer.json()).toEqual({
      code: 'not-paired',
      sentence: 'This device is not paired yet; enter the code that the daemon printed.',
    })
  })

  test('an unpaired device changes nothing', async () => {
    const { app, station } = open()
    for (const [method, url, payload] of [
      ['POST', '/api/station/act', { act: 'datum' }],
      ['POST', '/api/bench', { ram: 'advance' }],
      ['PUT', '/api/station/job', {}],
      ['PUT', '/api/station/setup', {}],
    ] as const) {
      const answer = await app.inject({ method, url, payload, remoteAddress: FAR })
      expect(answer.statusCode).toBe(401)
    }
    expect(station.acts).toEqual([])
  })

  test('health and the page answer an unpaired device', async () => {
    const { app } = open()
    expect((await from(app, '/api/health')).statusCode).toBe(200)
    expect((await from(app, '/')).json().code).toBe('no-dashboard')
  })

  test('an unpaired device does not learn which addresses exist', async () => {
    const { app } = open()
    const answer = await app.inject({ method: 'DELETE', url: '/api/x', remoteAddress: FAR })
    expect(answer.statusCode).toBe(401)
  })

  test('this machine needs no pairing', async () => {
    const { app } = open()
    for (const url of PROTECTED) expect((await app.inject(url)).statusCode).not.toBe(401)
  })

  test('what a proxy says of the caller is not believed', async () => {
    const { app } = open()
    const headers = { 'x-forwarded-for': '127.0.0.1', forwarded: 'for=127.0.0.1', host: OWN_HOST }
    const answer = await app.inject({ url: '/api/station', remoteAddress: FAR, headers })
    expect(answer.statusCode).toBe(401)
  })

  test('with the right code a device is paired', async () => {
    const { app, access, logged } = open()
    const answer = await pair(app, access.pairingCode)
    expect(answer.statusCode).toBe(200)
    expect(answer.json()).toEqual({ done: true })
    expect(answer.headers['set-cookie']).toMatch(/; HttpOnly; SameSite=Strict;/)
    const cookie = cookieOf(answer)
    for (const url of PROTECTED) expect((await from(app, url, cookie)).statusCode).not.toBe(401)
    expect(logged).toContainEqual(['A device was paired.', { from: FAR }])
    expect(JSON.stringify(logged)).not.toContain(cookie.split('=')[1])
    expect(JSON.stringify(logged)).not.toContain(access.pairingCode)
  })

  test('a cookie that is nearly right opens nothing', async () => {
    const { app, access } = open()
    const cookie = cookieOf(await pair(app, access.pairingCode))
    const flipped = cookie.endsWith('A') ? `${cookie.slice(0, -1)}B` : `${cookie.slice(0, -1)}A`
    for (const wrong of [flipped, cookie.slice(0, -1), `${cookie}A`, cookie.toUpperCase()])
      expect((await from(app, '/api/station', wrong)).statusCode).toBe(401)
  })

  test.each([{}, { code: 123456 }, { code: '' }, { code: '1'.repeat(17) }, { code: null }])(
    'pairing with %j is refused and counts as no try',
    async (payload) => {
      const { app, access } = open()
      for (let i = 0; i < 10; i++) {
        const options = { method: 'POST' as const, url: '/api/pair', remoteAddress: FAR }
        expect((await app.inject({ ...options, payload })).statusCode).toBe(400)
      }
      expect((await pair(app, access.pairingCode)).statusCode).toBe(200)
    },
  )

  test('guessing ends after five tries, from however many devices', async () => {
    const { app, access } = open()
    const wrong = access.pairingCode === '000000' ? '000001' : '000000'
    const statuses: number[] = []
    for (let i = 0; i < 8; i++) {
      const remoteAddress = `192.0.2.${i}`
      const options = { method: 'POST' as const, url: '/api/pair', remoteAddress }
      statuses.push((await app.inject({ ...options, payload: { code: wrong } })).statusCode)
    }
    expect(statuses).toEqual([401, 401, 401, 401, 401, 429, 429, 429])
    const answer = await pair(app, access.pairingCode)
    expect(answer.statusCode).toBe(429)
    expect(answer.json().sentence).toMatch(/^Too many wrong codes; try again in 1\d\d s\.$/)
    expect(answer.headers).not.toHaveProperty('set-cookie')
  })

  test('a wrong code in the midst of right ones is still wrong', async () => {
    const { app, access }: TestWeb = open()
    await pair(app, access.pairingCode)
    expect((await pair(app, 'abcdef')).json().code).toBe('wrong-code')
  })
})

test('bound to loopback there is nothing to pair', async () => {
  const { app } = makeWeb()
  const payload = { code: '123456' }
  const answer = await app.inject({ method: 'POST', url: '/api/pair', payload })
  expect(answer.statusCode).toBe(409)
  expect(answer.json().code).toBe('no-pairing')
})
