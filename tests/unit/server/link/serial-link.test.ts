import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import type { ReceivedLine, WireState } from '../../../../server/link/link.ts'
import { SerialLink, type SerialLinkOptions } from '../../../../server/link/serial-link.ts'
import { makeSimulatedClock, type SimulatedClock } from '../../../support/simulated-clock.ts'
import { type FakePort, makeFakePorts } from './fake-port.ts'

const PATH = '/dev/ttyACM0'

const hello = (board: string): string =>
  encodeSentence({
    kind: 'hello',
    protocol: 1,
    firmware: '1.0',
    board,
    sensor: 'incremental',
    countsPerTurn: 4096,
    rateHz: 200,
  })

let clock: SimulatedClock
let ports: ReturnType<typeof makeFakePorts>
let link: SerialLink
let lines: ReceivedLine[]
let states: WireState[]
/** How the test judges lines, as the daemon's decoder would. */
let judge: (batch: readonly ReceivedLine[]) => [good: number, refused: number]

function make(more: Partial<SerialLinkOptions> = {}): SerialLink {
  const { openPort, listPorts } = ports
  const made = new SerialLink({
    path: PATH,
    baudRate: 115_200,
    clock,
    openPort,
    listPorts,
    chance: () => 0.5,
    ...more,
  })
  made.onState((state) => states.push(state))
  made.onLines((batch) => {
    expect(batch.length).toBeGreaterThan(0)
    lines.push(...batch)
    made.judged(...judge(batch))
  })
  return made
}

const texts = (): string[] => lines.map(({ text }) => text)
const told = (): string[] => states.map(({ state }) => state)

/** Sends a line each quarter second. */
async function chatter(port: FakePort, seconds: number, line = 'ok'): Promise<void> {
  for (let quarter = 0; quarter < seconds * 4; quarter++) {
    port.speak(`${line}\r\n`)
    await clock.run(0.25)
  }
}

async function openLive(more: Partial<SerialLinkOptions> = {}): Promise<FakePort> {
  ports.there.add(PATH)
  link = make(more)
  link.open()
  await clock.run(0.1)
  await chatter(ports.last(), 1)
  expect(link.state().state).toBe('live')
  return ports.last()
}

beforeEach(() => {
  clock = makeSimulatedClock()
  ports = makeFakePorts()
  lines = []
  states = []
  judge = (batch) => [batch.length, 0]
})

afterEach(async () => {
  await link.close()
  await clock.run(20)
  expect(link.state().state).toBe('closed')
  expect(clock.waiting(), 'timers left behind').toBe(0)
  expect(ports.opened.filter((port) => port.isOpen).length, 'ports left open').toBe(0)
})

describe('opening', () => {
  it('goes from opening to waiting to live', async () => {
    ports.there.add(PATH)
    link = make()
    expect(link.state()).toMatchObject({ state: 'opening', source: PATH })
    link.open()
    await clock.run(0.1)
    expect(link.state().state).toBe('waiting')
    ports.last().speak('torn\r\nwhole\r\n')
    await clock.run(0.1)
    expect(told()).toEqual(['waiting', 'live'])
    expect(link.state()).toMatchObject({ reason: '', hint: '', reconnects: 0, overlong: 0 })
  })

  it('drops the first, torn line', async () => {
    ports.there.add(PATH)
    link = make()
    link.open()
    await clock.run(0.1)
    ports.last().speak('0,0,,E92C*59\r\nfirst\r\nsecond\nthird\r\n')
    await clock.run(0.1)
    expect(texts()).toEqual(['first', 'second', 'third'])
  })

  it.each([
    ['Error: No such file or directory, cannot open X', 'There is no port', '/dev/serial/by-id'],
    ['Error: Permission denied, cannot open X', 'may not open', 'dialout'],
    ['Error Resource temporarily unavailable Cannot lock port', 'Another program', 'Close'],
  ])('that fails (%s) is a state with a sentence, never a throw', async (error, reason, hint) => {
    ports.troubles.set(PATH, error)
    link = make()
    link.open()
    await clock.run(0.1)
    expect(link.state()).toMatchObject({ state: 'opening' })
    expect(link.state().reason).toContain(reason)
    expect(link.state().hint).toContain(hint)
  })

  it('is tried again, less and less often', async () => {
    link = make()
    link.open()
    const start = clock.nowS()
    const atS: number[] = []
    for (let step = 0; step < 300; step++) {
      const before = ports.attempts.length
      await clock.run(0.1)
      if (ports.attempts.length > before) atS.push(Math.round((clock.nowS() - start) * 10) / 10)
    }
    expect(atS.slice(0, 7)).toEqual([0.3, 0.8, 1.8, 3.8, 7.8, 12.8, 17.8])
    expect(told()).toEqual(['opening'])
  })

  it('succeeds when the port comes at last', async () => {
    link = make()
    link.open()
    await clock.run(30)
    ports.there.add(PATH)
    await clock.run(5.5)
    await chatter(ports.last(), 0.5)
    expect(link.state()).toMatchObject({ state: 'live', reconnects: 0 })
  })

  it('that is called off meanwhile leaves nothing open', async () => {
    ports.there.add(PATH)
    link = make()
    link.open()
    await link.close()
    await clock.run(10)
    expect(told()).toEqual(['closed'])
  })
})

describe('lines, however the bytes are cut', () => {
  const session = Array.from({ length: 60 }, (_, at) => `line ${at} ${'.'.repeat(at)}`)
  const whole = Buffer.from(`torn\r\n${session.join('\r\n')}\r\n`)

  it.each([1, 2, 3, 64, 4096, 65_536])('in chunks of %d', async (size) => {
    ports.there.add(PATH)
    link = make()
    link.open()
    await clock.run(0.1)
    for (let at = 0; at < whole.length; at += size)
      ports.last().speak(whole.subarray(at, at + size))
    await clock.run(0.1)
    expect(texts()).toEqual(session)
  })

  it('in a chunk of 64 KiB come as one batch, with one arrival', async () => {
    const port = await openLive()
    lines = []
    const batches: number[] = []
    link.onLines((batch) => batches.push(batch.length))
    port.speak('x\r\n'.repeat(21_845))
    await clock.run(0)
    expect(lines.length).toBe(21_845)
    expect(batches).toEqual([21_845])
    expect(new Set(lines.map(({ arrivalS }) => arrivalS)).size).toBe(1)
  })

  it('that are overlong or empty are left out; overlong ones are counted', async () => {
    const port = await openLive()
    lines = []
    port.speak(`a\r\n\r\n\n${'x'.repeat(257)}\r\nb\r\n`)
    await clock.run(0.1)
    expect(texts()).toEqual(['a', 'b'])
    expect(link.state().overlong).toBe(1)
  })

  it('keep every byte, as ISO 8859-1', async () => {
    const port = await openLive()
    lines = []
    port.speak(Buffer.from([0, 1, 0x7f, 0x80, 0xc3, 0xa4, 0xff, 10]))
    await clock.run(0.1)
    expect(texts()).toEqual(['\u0000\u0001\u007f\u0080\u00c3\u00a4\u00ff'])
  })

  it('stop no stream by being megabytes without an end', async () => {
    const port = await openLive()
    for (let chunk = 0; chunk < 64; chunk++) {
      port.speak(Buffer.alloc(65_536, 0x55))
      await clock.run(0.01)
    }
    lines = []
    port.speak('\nback\r\n')
    await clock.run(0.1)
    expect(texts()).toEqual(['back'])
    expect(link.state().overlong).toBe(1)
  })
})

describe('sending', () => {
  it('gives a line with CR LF, and says whether there is anyone', async () => {
    link = make()
    expect(link.send('too early')).toBe(false)
    await link.close()
    const port = await openLive()
    expect(link.send('$PXOBI,1')).toBe(true)
    await clock.run(0)
    expect(port.written).toEqual(['$PXOBI,1\r\n'])
    port.vanish('close')
    await clock.run(0)
    expect(link.send('too late')).toBe(false)
  })

  it('holds no more than a few lines for a device that takes none', async () => {
    const port = await openLive()
    port.takes = false
    let sent = 0
    while (link.send('x'.repeat(100)) && sent < 1000) sent++
    expect(sent).toBeGreaterThan(10)
    expect(sent).toBeLessThan(60)
  })
})

describe('unplugging', () => {
  it.each(['close with error', 'close', 'EIO', 'end', 'all of it'] as const)(
    'by %s is lost; the same name again is the same link',
    async (how) => {
      const port = await openLive()
      ports.there.delete(PATH)
      port.vanish(how)
      await clock.run(0)
      expect(link.state().state).toBe('lost')
      expect(link.state().reason).toContain(`${PATH} has gone`)
      await clock.run(3)
      ports.there.add(PATH)
      await clock.run(5.5)
      expect(ports.opened.length).toBe(2)
      lines = []
      ports.last().speak('rn line\r\nafter\r\n')
      await clock.run(0.1)
      expect(texts()).toEqual(['after'])
      expect(link.state()).toMatchObject({ state: 'live', reconnects: 1 })
    },
  )

  it('without a word is silence after 2 s, and the port is opened anew after 5 s', async () => {
    const port = await openLive()
    port.vanish('not a word')
    await clock.run(1.5)
    expect(link.state().state).toBe('live')
    await clock.run(0.75)
    expect(link.state().state).toBe('silent')
    expect(ports.opened.length).toBe(1)
    await clock.run(3.2)
    expect(ports.opened.length).toBe(2)
    expect(port.isOpen).toBe(false)
    expect(link.state().state).toBe('silent')
    await chatter(ports.last(), 0.5)
    expect(link.state()).toMatchObject({ state: 'live', reconnects: 1 })
  })

  it('glues no byte of before to a byte of now', async () => {
    const port = await openLive()
    port.speak('half a li')
    await clock.run(0)
    port.vanish('EIO')
    await clock.run(1)
    lines = []
    ports.last().speak('ne\r\nwhole\r\n')
    await clock.run(0.1)
    expect(texts()).toEqual(['whole'])
  })

  it('again and again counts, and starts each time with short waits', async () => {
    await openLive()
    for (let time = 1; time <= 5; time++) {
      ports.last().vanish('close')
      await clock.run(0.3)
      await chatter(ports.last(), 1)
      expect(link.state()).toMatchObject({ state: 'live', reconnects: time })
    }
  })

  it('of a port that opens and dies at once does not become a busy loop', async () => {
    await openLive()
    const before = ports.attempts.length
    for (let step = 0; step < 600; step++) {
      if (ports.last().isOpen) ports.last().vanish('EIO')
      await clock.run(0.05)
    }
    // 30 s: waits of 0.25, 0.5, 1, 2, 4, then 5 s each.
    expect(ports.attempts.length - before).toBeLessThan(14)
  })

  it('keeps the count of overlong lines over a reconnection', async () => {
    const port = await openLive()
    port.speak(`${'x'.repeat(999)}\n`)
    await clock.run(0)
    port.vanish('close')
    await clock.run(1)
    ports.last().speak(`torn\n${'x'.repeat(999)}\n`)
    await clock.run(0)
    expect(link.state().overlong).toBe(2)
  })
})

describe('a wrong baud rate', () => {
  it('is told from silence, with the rate in the sentence', async () => {
    ports.there.add(PATH)
    judge = (batch) => [0, batch.length]
    link = make({ baudRate: 9600 })
    link.open()
    await clock.run(0.1)
    for (let quarter = 0; quarter < 16; quarter++) {
      ports.last().speak(Buffer.from([0xf8, 0x00, 0xe6, 10, ...Buffer.alloc(60, 0x9e)]))
      await clock.run(0.25)
    }
    expect(link.state().state).toBe('garbled')
    expect(link.state().reason).toContain('9600 baud')
    judge = (batch) => [batch.length, 0]
    await chatter(ports.last(), 5)
    expect(link.state().state).toBe('live')
  })

  it('is not silence, and silence is not that', async () => {
    ports.there.add(PATH)
    link = make()
    link.open()
    await clock.run(5)
    expect(link.state().state).toBe('silent')
    expect(told()).not.toContain('garbled')
  })
})

describe('the same board under another name', () => {
  const OTHER = '/dev/ttyACM1'
  const sameBoard = (board: string): boolean => board === 'OURS'

  async function renamed(...names: string[]): Promise<void> {
    const port = await openLive({ sameBoard })
    ports.there.delete(PATH)
    port.vanish('close')
    for (const name of names) ports.there.add(name)
    lines = []
    await clock.run(5)
  }

  it('is tried, asked and taken; its lines since the opening are not lost', async () => {
    await renamed(OTHER)
    const port = ports.last()
    expect(port.path).toBe(OTHER)
    expect(link.send('not yet')).toBe(false)
    expect(port.written.join('')).toContain('$PXOBI,0')
    expect(link.state()).toMatchObject({ state: 'lost', source: PATH })
    port.speak(`torn\r\nearly\r\n${hello('OURS')}\r\nlate\r\n`)
    await clock.run(0.1)
    expect(texts()).toEqual(['early', hello('OURS'), 'late'])
    expect(link.state()).toMatchObject({ state: 'live', source: OTHER, reconnects: 1 })
    expect(link.send('now')).toBe(true)
  })

  it('is not looked for in the first two seconds', async () => {
    const port = await openLive({ sameBoard })
    ports.there.delete(PATH)
    ports.there.add(OTHER)
    port.vanish('close')
    await clock.run(1.9)
    expect(ports.attempts).not.toContain(OTHER)
  })

  it('is not another board: it is let go, and not tried again', async () => {
    await renamed(OTHER)
    const port = ports.last()
    port.speak(`torn\r\n${hello('THEIRS')}\r\n`)
    await clock.run(30)
    expect(port.isOpen).toBe(false)
    expect(lines).toEqual([])
    expect(ports.attempts.filter((path) => path === OTHER).length).toBe(1)
    expect(link.state().state).toBe('lost')
  })

  it('is not something that never says a name: four seconds, then let go', async () => {
    await renamed(OTHER)
    const port = ports.last()
    await clock.run(10)
    expect(port.isOpen).toBe(false)
    // Asked once a second, in case it was booting.
    expect(port.written.length).toBeGreaterThanOrEqual(4)
    expect(port.written.length).toBeLessThanOrEqual(6)
  })

  it('is not one of two that have come: neither is touched', async () => {
    await renamed(OTHER, '/dev/ttyACM2')
    expect(ports.attempts.every((path) => path === PATH)).toBe(true)
  })

  it('is not one that was there before', async () => {
    ports.there.add(OTHER)
    await renamed()
    expect(ports.attempts.every((path) => path === PATH)).toBe(true)
  })

  it('is not looked for when nobody can say whether it is the same', async () => {
    const port = await openLive()
    ports.there.delete(PATH)
    ports.there.add(OTHER)
    port.vanish('close')
    await clock.run(30)
    expect(ports.attempts).not.toContain(OTHER)
    expect(lines.every(({ text }) => text === 'ok')).toBe(true)
    expect(link.state().state).toBe('lost')
  })

  it('gives way to its own name when that comes back during a trial that fails', async () => {
    await renamed(OTHER)
    ports.there.add(PATH)
    ports.last().vanish('EIO')
    await clock.run(6)
    expect(ports.last().path).toBe(PATH)
    await chatter(ports.last(), 0.5)
    expect(link.state()).toMatchObject({ state: 'live', source: PATH, reconnects: 1 })
  })

  it('is found again when it goes and comes under the other name once more', async () => {
    await renamed(OTHER)
    ports.last().speak(`torn\r\n${hello('OURS')}\r\n`)
    await chatter(ports.last(), 1)
    ports.there.delete(OTHER)
    ports.last().vanish('close')
    await clock.run(1)
    ports.there.add(OTHER)
    await clock.run(4)
    ports.last().speak(`torn\r\n${hello('OURS')}\r\n`)
    await clock.run(0.1)
    expect(link.state()).toMatchObject({ state: 'live', source: OTHER, reconnects: 2 })
  })

  it('is found after a silent end too', async () => {
    const port = await openLive({ sameBoard })
    ports.there.delete(PATH)
    ports.there.add(OTHER)
    port.vanish('not a word')
    await clock.run(10)
    expect(ports.last().path).toBe(OTHER)
    ports.last().speak(`torn\r\n${hello('OURS')}\r\n`)
    await clock.run(0.1)
    expect(link.state()).toMatchObject({ state: 'live', source: OTHER })
  })
})
