import { once } from 'node:events'
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net'
import { setTimeout as sleep } from 'node:timers/promises'
import { afterEach, describe, expect, test } from 'vitest'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { makeClock } from '../../server/link/clock.ts'
import type { Link, ReceivedLine, WireState } from '../../server/link/link.ts'
import { makeTcpLink } from '../../server/link/tcp-link.ts'
import { until } from '../support/daemon.ts'

const sample = (sequence: number): string =>
  encodeSentence({
    kind: 'sample',
    sequence: sequence % 65_536,
    tickUs: sequence * 5000,
    counts: -sequence,
    flags: 0,
    second: null,
  })
const SESSION = Array.from({ length: 400 }, (_, at) => sample(at))

interface Converter {
  readonly port: number
  /** Connections so far, the newest last. */
  readonly sockets: Socket[]
  close(): Promise<void>
}

const cleanUps: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp()
})

/** A serial-over-network converter on this machine: a socket that passes bytes on. */
async function makeConverter(onSocket: (socket: Socket) => unknown, port = 0): Promise<Converter> {
  const sockets: Socket[] = []
  const server: Server = createServer((socket) => {
    sockets.push(socket)
    socket.on('error', () => undefined)
    void onSocket(socket)
  })
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve))
  const close = async () => {
    for (const socket of sockets) socket.destroy()
    if (server.listening) await new Promise((resolve) => server.close(resolve))
  }
  cleanUps.push(close)
  return { port: (server.address() as AddressInfo).port, sockets, close }
}

function connect(port: number, isMute = false) {
  const link: Link = makeTcpLink({ host: '127.0.0.1', port, clock: makeClock(), isMute })
  const lines: ReceivedLine[] = []
  const states: WireState[] = []
  link.onState((state) => states.push(state))
  link.onLines((batch) => {
    lines.push(...batch)
    const good = batch.filter(({ text }) => decodeLine(text).ok).length
    link.judged(good, batch.length - good)
  })
  link.open()
  cleanUps.push(() => link.close())
  return {
    link,
    lines,
    states,
    reaches: (wanted: WireState['state'], seconds = 20) =>
      until(
        async () => link.state(),
        ({ state }) => state === wanted,
        { seconds, what: `the state ${wanted}` },
      ),
    hears: (count: number) =>
      until(
        async () => lines.length,
        (length) => length >= count,
        { seconds: 30, what: `${count} lines` },
      ),
  }
}

const speak = (lines: readonly string[]) => `${lines.join('\r\n')}\r\n`
const texts = (lines: readonly ReceivedLine[]) => lines.map(({ text }) => text)

describe('a converter on the network', () => {
  test('is heard line by line, whatever the chunks are; what it is told arrives', async () => {
    const bytes = Buffer.from(`torn\r\n${speak(SESSION)}`)
    let heard = ''
    const { port } = await makeConverter(async (socket) => {
      socket.setNoDelay(true)
      socket.on('data', (chunk) => {
        heard += chunk
      })
      for (let at = 0; at < bytes.length; at += 97) {
        socket.write(bytes.subarray(at, at + 97))
        await sleep(1)
      }
    })
    const wire = connect(port)
    await wire.hears(SESSION.length)
    expect(texts(wire.lines)).toEqual(SESSION)
    expect(wire.link.state()).toMatchObject({ state: 'live', source: `127.0.0.1:${port}` })
    expect(wire.link.send('$TEST')).toBe(true)
    await until(
      async () => heard,
      (said) => said === '$TEST\r\n',
      { seconds: 10, what: 'the line sent' },
    )
  })

  test('with a sensor of another dialect is never spoken to', async () => {
    let heard = ''
    const { port } = await makeConverter((socket) => {
      socket.on('data', (chunk) => {
        heard += chunk
      })
      socket.write(`torn\r\n${speak(SESSION)}`)
    })
    const wire = connect(port, true)
    await wire.reaches('live')
    expect(wire.link.send('$TEST')).toBe(false)
    await sleep(100)
    expect(heard).toBe('')
  })

  test('that is not there is told of, and found when it comes', async () => {
    const { port, close } = await makeConverter(() => undefined)
    await close()
    const wire = connect(port)
    const refused = await until(
      async () => wire.link.state(),
      ({ reason }) => reason !== '',
      { seconds: 10, what: 'a reason' },
    )
    expect(refused).toMatchObject({
      state: 'opening',
      reason: `Nothing takes connections at 127.0.0.1:${port}.`,
    })
    expect(wire.link.send('anyone')).toBe(false)
    await makeConverter((socket) => socket.write(`torn\r\n${speak(SESSION)}`), port)
    await wire.reaches('live')
  })

  test.each([
    ['ends', (socket: Socket) => socket.end()],
    ['resets', (socket: Socket) => socket.resetAndDestroy()],
  ] as const)('that %s the connection in mid-line is lost and found again', async (_, drop) => {
    const { port, sockets } = await makeConverter((socket) => {
      socket.write(`torn\r\n${speak(SESSION.slice(0, 20))}${SESSION[20]!.slice(0, 9)}`)
    })
    const wire = connect(port)
    await wire.hears(20)
    drop(sockets[0]!)
    const lost = await until(
      async () => wire.states.find(({ state }) => state === 'lost'),
      (state) => state !== undefined,
      { seconds: 10, what: 'the loss' },
    )
    expect(lost?.reason).toBe(`127.0.0.1:${port} has closed the connection.`)
    await wire.hears(40)
    // No half line of before is glued to the first of now.
    expect(texts(wire.lines)).toEqual([...SESSION.slice(0, 20), ...SESSION.slice(0, 20)])
    expect(wire.link.state().reconnects).toBe(1)
  })

  test('that drops at once each time is called ever more seldom', async () => {
    const calledMs: number[] = []
    const { port } = await makeConverter((socket) => {
      calledMs.push(performance.now())
      socket.destroy()
    })
    connect(port)
    await until(
      async () => calledMs.length,
      (calls) => calls >= 5,
      { seconds: 30, what: 'five calls' },
    )
    const pausesMs = calledMs.slice(1).map((ms, nth) => ms - calledMs[nth]!)
    // 0.25, 0.5, 1, 2 s with a fifth of jitter: each is longer than the one before.
    expect(pausesMs.slice(0, 4)).toEqual(pausesMs.slice(0, 4).sort((a, b) => a - b))
    expect(pausesMs[0]).toBeGreaterThan(150)
    expect(pausesMs[3]).toBeGreaterThan(1500)
  })

  test('that is half open, accepting and then silent, is silent and called again', async () => {
    const { port, sockets } = await makeConverter(() => undefined)
    const wire = connect(port)
    const silent = await wire.reaches('silent')
    expect(silent.reason).toBe(`Nothing arrives from 127.0.0.1:${port}.`)
    await until(
      async () => sockets.length,
      (calls) => calls >= 2,
      { seconds: 20, what: 'a second call' },
    )
    sockets.at(-1)!.write(`torn\r\n${speak(SESSION)}`)
    await wire.reaches('live')
    expect(wire.states.map(({ state }) => state)).not.toContain('garbled')
  })

  test('that sends garbage is garbled, its endless line is thrown away, and it comes good', async () => {
    let isGood = false
    const noise = Buffer.from(Array.from({ length: 4096 }, (_, at) => (at * at * 31) % 251))
    const { port } = await makeConverter(async (socket) => {
      socket.write('torn\n')
      socket.write(Buffer.alloc(2_000_000, 0x55))
      while (!socket.destroyed) {
        socket.write(isGood ? `\r\n${speak(SESSION.slice(0, 50))}` : noise)
        await sleep(100)
      }
    })
    const wire = connect(port)
    const garbled = await wire.reaches('garbled')
    expect(garbled.hint).toContain('baud')
    expect(wire.link.state().overlong).toBeGreaterThan(0)
    isGood = true
    await wire.reaches('live')
  })

  test('that floods is read to the last line, in order, and time goes on meanwhile', async () => {
    const count = 200_000
    const { port } = await makeConverter(async (socket) => {
      socket.write('torn\r\n')
      for (let from = 0; from < count; from += 1000) {
        const lines = Array.from({ length: 1000 }, (_, nth) => sample(from + nth))
        if (!socket.write(speak(lines))) await once(socket, 'drain')
      }
    })
    let ticks = 0
    const timer = setInterval(() => ticks++, 10)
    cleanUps.push(async () => clearInterval(timer))
    const wire = connect(port)
    await wire.hears(count)
    expect(wire.lines).toHaveLength(count)
    expect(wire.lines.findIndex(({ text }, nth) => text !== sample(nth))).toBe(-1)
    expect(ticks).toBeGreaterThan(3)
    expect(wire.link.state().overlong).toBe(0)
  })

  test('is let go at once when the daemon closes', async () => {
    const { port, sockets } = await makeConverter((socket) => socket.write(speak(SESSION)))
    const wire = connect(port)
    await wire.reaches('live')
    const ended = once(sockets[0]!, 'close')
    await wire.link.close()
    await ended
    expect(wire.link.state().state).toBe('closed')
  })
})
