import { once } from 'node:events'
import { describe, expect, test } from 'vitest'
import { WebSocket } from 'ws'
import { makeManualClock } from '../support/manual-clock.ts'
import {
  listenWeb,
  makeWeb,
  openLive,
  rawHttp,
  statusOfRaw,
  turnedAway,
  until,
} from '../support/web.ts'

const isHello = ({ type }: { type: string }) => type === 'hello'

async function closeCode(socket: WebSocket): Promise<number> {
  const [code] = await once(socket, 'close')
  return code
}

describe('a page that opens the stream', () => {
  test('is greeted with the state and the trace of the bend in hand', async () => {
    const { port, station } = await listenWeb()
    station.step(500)
    const page = openLive(port)
    const hello = await page.next(isHello)
    expect(hello).toEqual(station.hello())
    expect(page.messages[0]).toBe(hello)
    expect(station.hello().trace.tS.length).toBeGreaterThan(300)
  })

  test('gets its messages as text, for anyone who listens', async () => {
    const { port } = await listenWeb()
    const socket = new WebSocket(`ws://127.0.0.1:${port}/live`, {
      origin: `http://127.0.0.1:${port}`,
    })
    const [, isBinary] = await once(socket, 'message')
    expect(isBinary).toBe(false)
    socket.close()
  })

  test('gets every sample and every change of state, in order', async () => {
    const { port, station } = await listenWeb()
    const page = openLive(port)
    await page.next(isHello)
    const said: unknown[] = []
    station.subscribe((message) => said.push(message))
    station.step(1300)
    await until(() => page.messages.length === said.length + 1)
    expect(page.messages.slice(1)).toEqual(said)
    expect(page.samples().every(({ omitted }) => omitted === 0)).toBe(true)
  })

  test('misses nothing between greeting and first sample', async () => {
    const { port, station } = await listenWeb()
    station.play()
    const page = openLive(port)
    await until(() => page.samples().length >= 10)
    station.stop()
    const [hello, ...rest] = page.messages
    if (hello?.type !== 'hello') throw new Error('The first message must be hello.')
    const times = rest.flatMap((message) => (message.type === 'samples' ? message.tS : []))
    expect(times[0]).toBeCloseTo(hello.nowS + 0.01, 6)
    for (const [i, tS] of times.entries()) expect(tS).toBeCloseTo((times[0] ?? 0) + 0.01 * i, 6)
  })

  test('after a reload is greeted with the same bend', async () => {
    const { port, station } = await listenWeb()
    station.step(400)
    const before = openLive(port)
    const first = await before.next(isHello)
    before.socket.close()
    await once(before.socket, 'close')
    const second = await openLive(port).next(isHello)
    expect(second).toEqual(first)
  })

  test('is told no more once it is gone', async () => {
    const { port, station } = await listenWeb()
    const page = openLive(port)
    await page.next(isHello)
    page.socket.terminate()
    await once(page.socket, 'close')
    station.step(10)
    await until(() => true)
    expect(page.samples()).toEqual([])
  })

  test('is not compressed to, whatever it offers', async () => {
    const { port } = await listenWeb()
    const page = openLive(port)
    await page.next(isHello)
    expect(page.socket.extensions).toBe('')
  })

  test('with a query in the address is a page all the same', async () => {
    const { port } = await listenWeb()
    const origin = `http://127.0.0.1:${port}`
    const socket = new WebSocket(`ws://127.0.0.1:${port}/live?from=bookmark`, { origin })
    const [data] = await once(socket, 'message')
    expect(JSON.parse(String(data)).type).toBe('hello')
    socket.terminate()
  })
})

describe('who may not open the stream', () => {
  test.each([
    undefined,
    'null',
    'http://evil.test',
    'http://evil.test:{port}',
    'http://127.0.0.1',
    'http://127.0.0.1:1',
    'https://127.0.0.1:{port}',
    'http://127.0.0.1.evil.test:{port}',
    'http://127.0.0.1:{port}.evil.test',
    'file://',
    '',
  ])('a page of %j', async (origin) => {
    const { port, logged } = await listenWeb()
    const headers = origin === undefined ? {} : { origin: origin.replace('{port}', `${port}`) }
    const { status, body } = await turnedAway(`ws://127.0.0.1:${port}/live`, headers)
    expect(status).toBe(403)
    expect(body).toEqual({
      code: 'foreign-page',
      sentence: 'Only pages of this daemon may do that; open the dashboard from it.',
    })
    expect(logged.map(([sentence]) => sentence)).toEqual(['A live stream was turned away.'])
  })

  test.each(['localhost', '127.0.0.1', '[::1]'])('but a page of %s may', async (name) => {
    const { port } = await listenWeb()
    const page = openLive(port, `http://${name}:${port}`)
    await page.next(isHello)
  })

  test.each(['evil.test', 'localhost.evil.test:{port}', '127.0.0.1', '127.0.0.1:1'])(
    'one that calls this machine %j',
    async (host) => {
      const { port } = await listenWeb()
      const headers = {
        host: host.replace('{port}', `${port}`),
        origin: `http://127.0.0.1:${port}`,
      }
      const { status, body } = await turnedAway(`ws://127.0.0.1:${port}/live`, headers)
      expect(status).toBe(421)
      expect(body.code).toBe('wrong-host')
    },
  )

  test('one that names no host', async () => {
    const { port } = await listenWeb()
    const answer = await rawHttp(
      port,
      `GET /live HTTP/1.1\r\nOrigin: http://127.0.0.1:${port}\r\nConnection: Upgrade\r\n` +
        'Upgrade: websocket\r\nSec-WebSocket-Version: 13\r\n' +
        'Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n',
    )
    expect(statusOfRaw(answer)).toBe(421)
  })

  test.each(['/', '/live/', '/Live', '/live2', '/api/live', '/api/station', '/live%2f'])(
    'one that asks for %s',
    async (path) => {
      const { port } = await listenWeb()
      const headers = { origin: `http://127.0.0.1:${port}` }
      const { status, body } = await turnedAway(`ws://127.0.0.1:${port}${path}`, headers)
      expect(status).toBe(404)
      expect(body.code).toBe('no-such-address')
    },
  )

  test.each(['h2c', 'websocket2', 'TLS/1.0'])('one that speaks %s', async (protocol) => {
    const { port } = await listenWeb()
    const answer = await rawHttp(
      port,
      `GET /live HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nOrigin: http://127.0.0.1:${port}\r\n` +
        `Connection: Upgrade\r\nUpgrade: ${protocol}\r\n\r\n`,
    )
    expect(statusOfRaw(answer)).toBe(400)
  })

  test('a plain request is told what this address is', async () => {
    const { app } = makeWeb()
    const answer = await app.inject('/live')
    expect(answer.statusCode).toBe(426)
    expect(answer.json().code).toBe('not-a-socket')
  })

  test('a device that is not paired; once it is paired it may', async () => {
    // The caller is made to look like another device: on loopback there is no other.
    const { port, access, app } = await listenWeb({ host: '0.0.0.0' })
    app.server.prependListener('upgrade', (request) => {
      Object.defineProperty(request.socket, 'remoteAddress', { value: '192.0.2.50' })
    })
    const origin = `http://127.0.0.1:${port}`
    const url = `ws://127.0.0.1:${port}/live`
    const { status, body } = await turnedAway(url, { origin })
    expect(status).toBe(401)
    expect(body.code).toBe('not-paired')
    const cookie = access.pair(access.pairingCode ?? '').split(';', 1)[0] ?? ''
    const socket = new WebSocket(url, { headers: { origin, cookie } })
    const [data] = await once(socket, 'message')
    expect(JSON.parse(String(data)).type).toBe('hello')
    socket.terminate()
  })
})

describe('a page that speaks', () => {
  test.each(['{}', '', 'ping', Buffer.from([0, 1, 2])])('by %j is shown out', async (said) => {
    const { port } = await listenWeb()
    const { socket, next } = openLive(port)
    await next(isHello)
    socket.send(said)
    expect(await closeCode(socket)).toBe(1008)
  })

  test('with a message of 10 MB is cut off, and others notice nothing', async () => {
    const { port, station } = await listenWeb()
    const loud = openLive(port)
    const quiet = openLive(port)
    await Promise.all([loud.next(isHello), quiet.next(isHello)])
    loud.socket.send(Buffer.alloc(10_000_000))
    expect([1006, 1009]).toContain(await closeCode(loud.socket))
    station.step(100)
    await until(() => quiet.samples().length === 100)
    expect(quiet.samples().every(({ omitted }) => omitted === 0)).toBe(true)
  })

  test('in fragments without end is cut off', async () => {
    const { port } = await listenWeb()
    const { socket, next } = openLive(port)
    await next(isHello)
    const gone = closeCode(socket)
    for (let i = 0; i < 100 && socket.readyState === WebSocket.OPEN; i++)
      socket.send(Buffer.alloc(1000), { fin: false })
    expect([1006, 1008, 1009]).toContain(await gone)
  })

  test('by frames that are no frames is cut off', async () => {
    const { port, station } = await listenWeb()
    const page = openLive(port)
    await page.next(isHello)
    const gone = closeCode(page.socket)
    // 0xff: reserved bits and an unknown opcode, RFC 6455 section 5.2.
    Reflect.get(page.socket, '_socket').write(Buffer.alloc(64, 0xff))
    expect([1002, 1006]).toContain(await gone)
    station.step(1)
    expect(station.listeners()).toBe(1)
  })

  test('by pings gets pongs', async () => {
    const { port } = await listenWeb()
    const { socket, next } = openLive(port)
    await next(isHello)
    socket.ping('here')
    const [data] = await once(socket, 'pong')
    expect(String(data)).toBe('here')
  })
})

describe('a page that is gone without a word', () => {
  test('is noticed by its silence within two pings', async () => {
    const clock = makeManualClock()
    const { port } = await listenWeb({ clock })
    const dead = openLive(port)
    const alive = openLive(port)
    await Promise.all([dead.next(isHello), alive.next(isHello)])
    dead.socket.pong = () => undefined
    Reflect.set(dead.socket, '_autoPong', false)
    const gone = closeCode(dead.socket)
    clock.advance(5)
    await once(alive.socket, 'ping')
    // Its answer went before this question, so it has come in when the question is answered.
    alive.socket.ping()
    await once(alive.socket, 'pong')
    clock.advance(5)
    expect(await gone).toBe(1006)
    expect(alive.socket.readyState).toBe(WebSocket.OPEN)
  })
})

describe('when the daemon ends', () => {
  test('pages are told that it goes away, and the station is let go', async () => {
    const { app, port, station } = await listenWeb()
    const page = openLive(port)
    await page.next(isHello)
    expect(station.listeners()).toBe(1)
    const gone = closeCode(page.socket)
    await app.close()
    expect(await gone).toBe(1001)
    expect(station.listeners()).toBe(0)
  })

  test('a page that does not read holds nothing up', async () => {
    const { app, port } = await listenWeb()
    const page = openLive(port)
    await page.next(isHello)
    page.socket.pause()
    await app.close()
    expect(app.server.listening).toBe(false)
  })

  test('an app that never listened lets the station go too', async () => {
    const { app, station } = makeWeb()
    await app.ready()
    await app.close()
    expect(station.listeners()).toBe(0)
  })
})

test('a station that cannot greet is no reason to fall', async () => {
  const { port, app, logged } = await listenWeb({
    wrap: (station) => ({
      ...station,
      hello() {
        throw new Error('no trace')
      },
    }),
  })
  const { socket } = openLive(port)
  expect(await closeCode(socket)).toBe(1011)
  expect(logged[0]?.[0]).toBe('A page could not be greeted.')
  expect((await app.inject('/api/health')).statusCode).toBe(200)
})
