import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { afterAll, afterEach, describe, expect, test } from 'vitest'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { until } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { type OpenLink, openLink } from '../support/open-links.ts'
import { makePtyPair, type PtyPair } from '../support/pty-pair.ts'

const sample = (sequence: number): string =>
  encodeSentence({
    kind: 'sample',
    sequence,
    tickUs: sequence * 5000,
    counts: -sequence,
    flags: 0,
    second: null,
  })
const SESSION = Array.from({ length: 400 }, (_, at) => sample(at))
const BYTES = Buffer.from(`torn\r\n${SESSION.join('\r\n')}\r\n`)
const NOBODY = 65_534

describe.skipIf(skipWithout('socat'))('a real tty', () => {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-wire-'))
  chmodSync(folder, 0o755)
  const pairs: PtyPair[] = []
  const links: OpenLink[] = []
  afterEach(async () => {
    for (const { link } of links.splice(0)) await link.close()
    for (const pair of pairs.splice(0)) await pair.unplug()
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  async function pairUp(name: string): Promise<PtyPair> {
    const pair = await makePtyPair(folder, name)
    pairs.push(pair)
    return pair
  }
  function open(path: string): OpenLink {
    const opened = openLink({ path })
    links.push(opened)
    return opened
  }
  const texts = ({ lines }: OpenLink): string[] => lines.map(({ text }) => text)
  const hears = (wire: OpenLink, count: number): Promise<number> =>
    until(
      async () => wire.lines.length,
      (length) => length >= count,
      { seconds: 30, what: `${count} lines` },
    )

  describe('gives the same lines however the bytes come', () => {
    test.each([1, 7, 4096, 65_536])('in chunks of %d', async (size) => {
      const pair = await pairUp(`chunks-${size}`)
      const wire = open(pair.path)
      await wire.reaches('waiting')
      for (let at = 0; at < BYTES.length; at += size)
        await pair.speak(BYTES.subarray(at, at + size))
      await hears(wire, SESSION.length)
      expect(texts(wire)).toEqual(SESSION)
    })
  })

  test('carries megabytes without a line end and then goes on', async () => {
    const pair = await pairUp('endless')
    const wire = open(pair.path)
    await wire.reaches('waiting')
    await pair.speak('torn\n')
    for (let chunk = 0; chunk < 64; chunk++) await pair.speak(Buffer.alloc(65_536, 0x55))
    await pair.speak(`\n${sample(7)}\r\n`)
    await hears(wire, 1)
    expect(texts(wire)).toEqual([sample(7)])
    expect(wire.link.state().overlong).toBe(1)
  })

  test('with bytes of another baud rate is garbled, and live when the rate is right', async () => {
    const pair = await pairUp('garbled')
    const wire = open(pair.path)
    await wire.reaches('waiting')
    // What a receiver makes of a wrong rate: many 0x00, 0x80, 0xF8, 0xFF, now and then a line feed.
    const noise = Buffer.from(
      Array.from({ length: 300 }, (_, at) => [0, 0x80, 0xf8, 0xff, 0x9e, 10][(at * at) % 6] ?? 0),
    )
    const speaking = { what: noise as string | Uint8Array, goesOn: true }
    const talk = (async () => {
      while (speaking.goesOn) {
        await pair.speak(speaking.what)
        await sleep(100)
      }
    })()
    const garbled = await wire.reaches('garbled')
    expect(garbled.reason).toContain('115200 baud')
    expect(wire.states.map(({ state }) => state)).not.toContain('silent')
    speaking.what = `\r\n${SESSION.slice(0, 20).join('\r\n')}\r\n`
    await wire.reaches('live')
    speaking.goesOn = false
    await talk
  })

  test('without a byte is silent, not garbled, and is opened anew', async () => {
    const pair = await pairUp('silent')
    const wire = open(pair.path)
    const silent = await wire.reaches('silent')
    expect(silent.reason).toBe(`Nothing arrives on ${pair.path}.`)
    await until(
      async () => wire.link.state(),
      ({ reconnects }) => reconnects >= 1,
      { seconds: 20, what: 'a second opening' },
    )
    expect(wire.states.map(({ state }) => state)).not.toContain('garbled')
    await pair.speak(`torn\r\n${sample(1)}\r\n`)
    await wire.reaches('live')
  })

  describe('that cannot be opened says why', () => {
    async function trouble(path: string): Promise<{ reason: string; hint: string }> {
      const wire = open(path)
      await until(
        async () => wire.link.state().reason,
        (reason) => reason !== '' && !reason.includes('is open'),
        { seconds: 10, what: 'a reason' },
      )
      expect(wire.link.state().state).toBe('opening')
      expect(wire.link.send('anyone')).toBe(false)
      return wire.link.state()
    }

    test('it is not there', async () => {
      const path = join(folder, 'nowhere')
      expect(await trouble(path)).toMatchObject({ reason: `There is no port ${path}.` })
    })

    test('another program holds it; when that lets go it is taken', async () => {
      const pair = await pairUp('busy')
      const first = open(pair.path)
      await first.reaches('waiting')
      expect((await trouble(pair.path)).reason).toBe(`Another program holds ${pair.path}.`)
      await first.link.close()
      const second = links.at(-1)!
      await pair.speak(`torn\r\n${sample(1)}\r\n`)
      await until(
        async () => second.link.state().state,
        (state) => state !== 'opening',
        { seconds: 20, what: 'the second reader to get the port' },
      )
    })

    test('it is a file, or a folder', async () => {
      const file = join(folder, 'file')
      writeFileSync(file, 'no port')
      expect((await trouble(file)).reason).toBe(`${file} is not a serial port.`)
      expect((await trouble(folder)).reason).toBe(`${folder} is not a serial port.`)
    })

    test('this user may not: the group is named', async () => {
      const pair = await pairUp('forbidden')
      const isRoot = process.getuid?.() === 0
      // Root may open anything; so the test takes on the rights of nobody for a moment.
      if (isRoot) process.seteuid?.(NOBODY)
      else chmodSync(pair.path, 0)
      try {
        const { reason, hint } = await trouble(pair.path)
        expect(reason).toBe(`This user may not open ${pair.path}.`)
        expect(hint).toContain('dialout')
      } finally {
        if (isRoot) process.seteuid?.(0)
      }
    })
  })
})
