import { once } from 'node:events'
import { connect, type Socket } from 'node:net'
import { describe, expect, onTestFinished, test } from 'vitest'
import { WebSocket } from 'ws'
import type { LiveMessage } from '../../server/messages/live.ts'
import { makeManualClock } from '../support/manual-clock.ts'
import { listenWeb, openLive, turnedAway, until } from '../support/web.ts'

type SamplesMessage = Extract<LiveMessage, { type: 'samples' }>

const isHello = ({ type }: { type: string }) => type === 'hello'
const POINTS = 200

/** A message of about 6 kB, so that the system's own buffers are full soon. */
function bigSamples(number: number): SamplesMessage {
  const column = (value: number) => Array.from({ length: POINTS }, () => value + 0.123456789)
  return {
    type: 'samples',
    tS: column(number),
    angleDeg: column(1),
    rateDegPerS: column(2),
    quality: Array.from({ length: POINTS }, () => 0),
    cue: 'none',
    omitted: 0,
  }
}

/** The daemon's own ends of all sockets, to see what waits in them. */
function watchSockets(web: { app: { server: { on: NodeJS.EventEmitter['on'] } } }) {
  const sockets: Socket[] = []
  web.app.server.on('connection', (socket: Socket) => void sockets.push(socket))
  return () => Math.max(...sockets.map((socket) => socket.writableLength))
}

const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0)
const turn = () => new Promise((resolve) => setImmediate(resolve))

describe('a page that stops reading', () => {
  test('is bounded; others keep every sample; it is told what it missed', async () => {
    const web = await listenWeb({ clock: makeManualClock() })
    const longestQueue = watchSockets(web)
    const slow = openLive(web.port)
    const quick = openLive(web.port)
    await Promise.all([slow.next(isHello), quick.next(isHello)])
    slow.socket.pause()
    const one = JSON.stringify(bigSamples(0)).length
    let said = 0
    let longest = 0
    // 24 MB: several times what the system itself holds for one connection.
    while (said * one < 24e6) {
      web.station.say(bigSamples(said++))
      if (said % 8 === 0) await turn()
      longest = Math.max(longest, longestQueue())
    }
    expect(longest).toBeGreaterThan(64 * 1024)
    expect(longest).toBeLessThan(64 * 1024 + 2 * one)
    await until(() => quick.samples().length === said)
    expect(quick.samples().every(({ omitted }) => omitted === 0)).toBe(true)

    slow.socket.resume()
    await until(() => longestQueue() === 0)
    web.station.say(bigSamples(said++))
    await until(() => (slow.samples().at(-1)?.tS[0] ?? 0) > said - 1)
    const got = slow.samples()
    expect(got.length).toBeLessThan(said)
    expect(sum(got.map(({ tS, omitted }) => tS.length + omitted))).toBe(said * POINTS)
    expect(got.at(-1)?.omitted).toBeGreaterThan(0)
  })

  test('gets of many states the newest when it reads again', async () => {
    const web = await listenWeb({ clock: makeManualClock() })
    const longestQueue = watchSockets(web)
    const slow = openLive(web.port)
    await slow.next(isHello)
    slow.socket.pause()
    while (longestQueue() <= 64 * 1024) {
      web.station.say(bigSamples(0))
      await turn()
    }
    const state = web.station.state()
    for (let leadS = 1; leadS <= 1000; leadS++)
      web.station.say({ type: 'state', state: { ...state, leadS } })
    expect(longestQueue()).toBeLessThan(80 * 1024)
    slow.socket.resume()
    const isState = (message: LiveMessage) => message.type === 'state'
    await until(() => slow.messages.some(isState))
    const states = slow.messages.filter(isState)
    expect(states).toHaveLength(1)
    expect(states[0]).toMatchObject({ state: { leadS: 1000 } })
  })

  test('for more than five seconds is let go', async () => {
    const clock = makeManualClock()
    const web = await listenWeb({ clock })
    const longestQueue = watchSockets(web)
    const slow = openLive(web.port)
    await slow.next(isHello)
    slow.socket.pause()
    while (longestQueue() <= 64 * 1024) {
      web.station.say(bigSamples(0))
      await turn()
    }
    web.station.say(bigSamples(1))
    clock.advance(4.9)
    web.station.say(bigSamples(2))
    expect(longestQueue()).toBeGreaterThan(0)
    clock.advance(0.2)
    web.station.say(bigSamples(3))
    await until(() => longestQueue() === 0)
    slow.socket.resume()
    const [code] = await once(slow.socket, 'close')
    expect(code).toBe(1006)
  })
})

test('200 pages get every sample', { timeout: 60_000 }, async () => {
  const { port, station } = await listenWeb({ clock: makeManualClock() })
  const pages = Array.from({ length: 200 }, () => openLive(port))
  await Promise.all(pages.map((page) => page.next(isHello)))
  for (let i = 0; i < 100; i++) {
    station.step(1)
    if (i % 10 === 0) await turn()
  }
  await until(() => pages.every((page) => page.samples().length === 100), 10_000)
  const [first] = pages
  for (const page of pages) expect(page.samples()).toEqual(first?.samples())
})

test('page 257 is told to wait, and finds room once another is gone', async () => {
  const { port } = await listenWeb({ clock: makeManualClock() })
  const origin = `http://127.0.0.1:${port}`
  const url = `ws://127.0.0.1:${port}/live`
  const pages = Array.from({ length: 256 }, () => openLive(port))
  await Promise.all(pages.map((page) => page.next(isHello)))
  const { status, body } = await turnedAway(url, { origin })
  expect(status).toBe(503)
  expect(body).toEqual({
    code: 'too-many-clients',
    sentence: 'Already 256 pages are open; close one and try again.',
  })
  pages[0]?.socket.close()
  await until(() => pages[0]?.socket.readyState === WebSocket.CLOSED)
  await openLive(port).next(isHello)
})

test('a page that pings and never reads the answers is bounded too', async () => {
  const web = await listenWeb({ clock: makeManualClock() })
  const longestQueue = watchSockets(web)
  const socket = connect(web.port, '127.0.0.1')
  onTestFinished(() => void socket.destroy())
  socket.on('error', () => undefined)
  socket.write(
    `GET /live HTTP/1.1\r\nHost: 127.0.0.1:${web.port}\r\nOrigin: http://127.0.0.1:${web.port}\r\n` +
      'Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n' +
      'Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n',
  )
  await once(socket, 'data')
  socket.pause()
  // A ping of 125 bytes under an all-zero mask, RFC 6455 section 5.5.2.
  const ping = Buffer.concat([Buffer.from([0x89, 0xfd, 0, 0, 0, 0]), Buffer.alloc(125)])
  const volley = Buffer.concat(Array.from({ length: 5000 }, () => ping))
  let longest = 0
  // 25 MB of answers: several times what the system itself holds for one connection.
  for (let i = 0; i < 40; i++) {
    await new Promise((resolve) => socket.write(volley, resolve))
    longest = Math.max(longest, longestQueue())
  }
  expect(longest).toBeLessThan(80 * 1024)
  expect((await web.app.inject('/api/health')).statusCode).toBe(200)
})
