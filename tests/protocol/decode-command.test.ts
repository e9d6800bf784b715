import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { BadInput } from '../../server/commands/command.ts'
import { readerOf, tellLines } from '../../server/commands/decode.ts'
import { startDecode } from './decode-process.ts'

const SESSION = join(import.meta.dirname, '../../firmware-protocol/sessions/boot.txt')
const SAMPLE = '$PXOBS,184,12034567,-1234,0,,E5BB*02'
const SAMPLE_TOLD =
  '{"ok":true,"sentence":{"kind":"sample","sequence":184,"tickUs":12034567,"counts":-1234,' +
  '"flags":0,"second":null}}\n'

/** Standard output for pieces of standard input, as values. */
async function told(dialect: string, ...pieces: string[]) {
  async function* bytes() {
    for (const piece of pieces) yield Buffer.from(piece, 'latin1')
  }
  let output = ''
  for await (const text of tellLines(bytes(), readerOf(dialect))) output += text
  const rows = output.split('\n')
  expect(rows.pop()).toBe('')
  return rows.map((row) => JSON.parse(row))
}

describe('the lines that decode writes', () => {
  it('are one for each line of the input that is not empty', async () => {
    const lines = await told('native', `garbage\r\n${SAMPLE}\r\n\r\n\xff\n`)
    expect(lines.map(({ ok, reason }) => (ok ? 'ok' : reason))).toEqual([
      'no start',
      'ok',
      'not printable',
    ])
  })

  it('keep a refused command apart from a refused line', async () => {
    const no = { kind: 'answer', command: 31, ok: false, reason: 'not supported' } as const
    expect(await told('native', encodeSentence(no))).toEqual([{ ok: true, sentence: no }])
  })

  it('give back every line of a golden session', async () => {
    const lines = readFileSync(SESSION, 'latin1')
      .split('\n')
      .filter((row) => row.startsWith('< '))
      .map((row) => row.slice(2))
    const decoded = await told('native', `${lines.join('\r\n')}\r\n`)
    expect(lines.length).toBeGreaterThan(5)
    expect(decoded.map(({ sentence }) => encodeSentence(sentence))).toEqual(lines)
  })

  it('have the transducers of an XDR sentence', async () => {
    const input = '$IIXDR,A,12.34,D,BEND*6D\n$IIXDR,A,12.34,D,BEND*6C\n$IIXDR,A,12.34,D*00\n'
    expect(await told('nmea-xdr', input)).toEqual([
      { ok: false, reason: 'bad checksum' },
      {
        ok: true,
        talker: 'II',
        transducers: [{ type: 'A', value: 12.34, unit: 'D', name: 'BEND' }],
      },
      { ok: false, reason: 'bad checksum' },
    ])
  })

  it('have the value of a plain number, the last one without a line end too', async () => {
    expect(await told('number', '12.5\r\n-', '3\nabc\n 7 ')).toEqual([
      { ok: true, value: 12.5 },
      { ok: true, value: -3 },
      { ok: false, reason: 'bad field' },
      { ok: true, value: 7 },
    ])
  })

  it('tell of an overlong line once, in its place', async () => {
    expect(await told('number', '1\n', '9'.repeat(200), '9'.repeat(200), '9\n2\n')).toEqual([
      { ok: true, value: 1 },
      { ok: false, reason: 'overlong' },
      { ok: true, value: 2 },
    ])
  })

  it('are none for nothing', async () => {
    expect(await told('native')).toEqual([])
    expect(await told('native', '', '\r\n\r\n')).toEqual([])
  })
})

describe('a dialect that cannot be read', () => {
  it.each(['morse', '', 'NATIVE', 'native ', 'constructor', '__proto__'])(
    'is refused with one sentence that names the flag and what it was given: "%s"',
    (dialect) => {
      expect(() => readerOf(dialect)).toThrow(
        new BadInput(`--dialect takes one of native, nmea-xdr, number, got "${dialect}".`),
      )
    },
  )

  it('is refused with the reason where it is one that is polled', () => {
    expect(() => readerOf('modbus-rtu')).toThrow(BadInput)
    expect(() => readerOf('modbus-rtu')).toThrow(/^--dialect modbus-rtu is polled [^\n]*\.$/)
  })
})

describe('reading and writing', () => {
  it('go in step: no chunk is read before the output of the last one is taken', async () => {
    let read = 0
    async function* bytes() {
      for (; read < 3; ) {
        read++
        yield Buffer.from(`${SAMPLE}\n`.repeat(100))
      }
    }
    const output = tellLines(bytes(), readerOf('native'))
    for (const taken of [1, 2, 3]) {
      expect((await output.next()).value).toBe(SAMPLE_TOLD.repeat(100))
      expect(read).toBe(taken)
    }
    expect((await output.next()).done).toBe(true)
  })
})

describe('overbend decode as a process', () => {
  it('reads standard input, native when no dialect is named, and exits 0', async () => {
    let stdout = ''
    const decode = startDecode(['--json'], (text) => {
      stdout += text
    })
    await decode.write(`${SAMPLE}\r\nno\r\n`)
    expect(await decode.end()).toEqual({ code: 0, stderr: '' })
    expect(stdout).toBe(`${SAMPLE_TOLD}{"ok":false,"reason":"no start"}\n`)
  })

  it.each([[['--dialect', 'modbus-rtu']], [['--dialekt', 'native']]])(
    'exits 2 with a sentence that names the flag, and no output, for %j',
    async (flags) => {
      let stdout = ''
      const decode = startDecode(flags, (text) => {
        stdout += text
      })
      await decode.write(SAMPLE)
      const { code, stderr } = await decode.end()
      expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
      expect(stderr).toMatch(/^overbend: /)
      expect(stderr).toContain(flags[0])
    },
  )

  it('ends well when its reader has seen enough', async () => {
    const decode = startDecode([], () => decode.stopReading())
    for (let piece = 0; piece < 200; piece++) await decode.write(`${SAMPLE}\n`.repeat(1000))
    expect(await decode.end()).toEqual({ code: 0, stderr: '' })
  })
})
