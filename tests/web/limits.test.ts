import { once } from 'node:events'
import { connect } from 'node:net'
import { describe, expect, test } from 'vitest'
import { SHOP_JOB } from '../support/fake-bend.ts'
import { bodyOfRaw, listenWeb, makeWeb, rawHttp, statusOfRaw } from '../support/web.ts'

const TEN_MB = 10_000_000

describe('a body of 10 MB', () => {
  test('is refused by its announced length, before it is read', async () => {
    const { port, url, station } = await listenWeb({ auto: false })
    const head =
      `PUT /api/station/job HTTP/1.1\r\nHost: localhost:${port}\r\n` +
      `Content-Type: application/json\r\nContent-Length: ${TEN_MB}\r\nConnection: close\r\n\r\n`
    const answer = await rawHttp(port, head)
    expect(statusOfRaw(answer)).toBe(413)
    expect(bodyOfRaw(answer)).toEqual({
      code: 'too-large',
      sentence: 'The body is larger than 65536 bytes; nothing asked here is that long.',
    })
    expect((await fetch(`${url}/api/health`)).status).toBe(200)
    expect(station.state().job).toEqual(SHOP_JOB)
  })

  test('in chunks of unknown length is cut off', async () => {
    const { port, url } = await listenWeb()
    const socket = connect(port, '127.0.0.1')
    socket.on('error', () => undefined)
    socket.write(
      `PUT /api/station/job HTTP/1.1\r\nHost: localhost:${port}\r\n` +
        'Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n',
    )
    const chunk = `10000\r\n${' '.repeat(0x10000)}\r\n`
    const [first] = await Promise.all([
      once(socket, 'data'),
      (async () => {
        for (let i = 0; i < 160 && !socket.destroyed; i++) socket.write(chunk)
      })(),
    ])
    expect(statusOfRaw(String(first))).toBe(413)
    socket.destroy()
    expect((await fetch(`${url}/api/health`)).status).toBe(200)
  })

  test('one byte over the limit is refused, the limit itself is read', async () => {
    const { app } = makeWeb()
    const put = (bytes: number) =>
      app.inject({
        method: 'PUT',
        url: '/api/station/job',
        headers: { 'content-type': 'application/json' },
        payload: `"${'x'.repeat(bytes - 2)}"`,
      })
    expect((await put(65_536)).json().code).toBe('bad-input')
    expect((await put(65_537)).json().code).toBe('too-large')
  })
})

describe('what is no request', () => {
  test.each([
    ['noise', '\u0001\u0002\u0003\r\n\r\n', 400, 'bad-request'],
    ['another protocol', 'SSH-2.0-x\r\n\r\n', 400, 'bad-request'],
    ['endless headers', `GET / HTTP/1.1\r\nX: ${'a'.repeat(40_000)}`, 431, 'headers-too-large'],
    [
      'two lengths',
      'POST /api/pair HTTP/1.1\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\n',
      400,
      'bad-request',
    ],
    [
      'length and chunks',
      'POST /api/pair HTTP/1.1\r\nContent-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n',
      400,
      'bad-request',
    ],
    ['a bare line end', 'GET / HTTP/1.1\nHost: localhost\n\n', 400, 'bad-request'],
  ])('%s is refused in the one envelope', async (_, text, status, code) => {
    const { port, url } = await listenWeb()
    const answer = await rawHttp(port, text)
    expect(statusOfRaw(answer)).toBe(status)
    expect(bodyOfRaw(answer).code).toBe(code)
    expect((await fetch(`${url}/api/health`)).status).toBe(200)
  })

  test('a connection that says nothing and leaves harms no one', async () => {
    const { port, url } = await listenWeb()
    const sockets = Array.from({ length: 50 }, () => connect(port, '127.0.0.1'))
    await Promise.all(sockets.map((socket) => once(socket, 'connect')))
    for (const socket of sockets) socket.destroy()
    expect((await fetch(`${url}/api/health`)).status).toBe(200)
  })
})

describe('names', () => {
  test.each([
    'a'.repeat(10_000),
    '%2e'.repeat(2000),
    '/'.repeat(5000),
    '?'.repeat(5000),
    `?${'a=1&'.repeat(3000)}`,
    `?${'a[]='.repeat(1000)}`,
  ])('of monstrous length are answered in the one envelope (%#)', async (path) => {
    const { app } = makeWeb()
    const answer = await app.inject(`/api/${path}`)
    expect(answer.statusCode).toBeGreaterThanOrEqual(400)
    expect(answer.statusCode).toBeLessThan(500)
    expect(answer.json().sentence).toMatch(/\.$/)
  })

  test('a bombardment of keys is refused by the first', async () => {
    const { app } = makeWeb()
    const payload = Object.fromEntries(Array.from({ length: 4000 }, (_, i) => [`k${i}`, i]))
    const answer = await app.inject({ method: 'PUT', url: '/api/station/job', payload })
    expect(answer.statusCode).toBe(400)
    expect(answer.body.length).toBeLessThan(300)
  })

  test('a deep nest is refused', async () => {
    const { app } = makeWeb()
    const payload = `${'['.repeat(30_000)}${']'.repeat(30_000)}`
    const answer = await app.inject({
      method: 'PUT',
      url: '/api/station/job',
      headers: { 'content-type': 'application/json' },
      payload,
    })
    expect(answer.statusCode).toBe(400)
  })
})
