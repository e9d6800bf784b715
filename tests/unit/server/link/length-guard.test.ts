import { PassThrough, Readable } from 'node:stream'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type GuardSpec,
  guardStream,
  makeLengthGuard,
} from '../../../../server/link/length-guard.ts'

/** Passes chunks one after the other; gives the lines that came through, and the count of the others. */
function pass(chunks: readonly Uint8Array[], spec: GuardSpec = {}) {
  const guard = makeLengthGuard(spec)
  const through = Buffer.concat(chunks.map((chunk) => guard.pass(chunk))).toString('latin1')
  const lines = through === '' ? [] : through.replace(/\n$/, '').split('\n')
  return { lines, overlong: guard.overlong(), guard }
}

const bytes = (text: string): Buffer => Buffer.from(text, 'latin1')
const chop = (whole: Buffer, size: number): Buffer[] =>
  Array.from({ length: Math.ceil(whole.length / size) }, (_, at) =>
    whole.subarray(at * size, (at + 1) * size),
  )

/** The rule in the plainest words, to hold the guard against. */
function plainRule(text: string, maxBytes: number) {
  const whole = text.split('\n').slice(0, -1)
  const isShort = (line: string): boolean => line.replace(/\r$/, '').length <= maxBytes
  return { lines: whole.filter(isShort), overlong: whole.filter((line) => !isShort(line)).length }
}

const SESSION = 'one\r\ntwo\n\r\n\nthree is a little longer\r\nfour\r\n'

describe('lines within the bound', () => {
  const whole = bytes(SESSION)
  const wanted = ['one\r', 'two', '\r', '', 'three is a little longer\r', 'four\r']

  it('pass, split in two at every place', () => {
    for (let at = 0; at <= whole.length; at++) {
      const { lines, overlong } = pass([whole.subarray(0, at), whole.subarray(at)])
      expect(lines, `split at ${at}`).toEqual(wanted)
      expect(overlong).toBe(0)
    }
  })

  it('pass, split in three at every two places', () => {
    for (let a = 0; a <= whole.length; a++)
      for (let b = a; b <= whole.length; b++) {
        const { lines } = pass([whole.subarray(0, a), whole.subarray(a, b), whole.subarray(b)])
        expect(lines, `split at ${a} and ${b}`).toEqual(wanted)
      }
  })

  it('pass byte by byte', () => {
    expect(pass(chop(whole, 1)).lines).toEqual(wanted)
  })

  it('wait for their end', () => {
    const guard = makeLengthGuard()
    expect(guard.pass(bytes('half a li')).length).toBe(0)
    expect(guard.pass(bytes('ne')).length).toBe(0)
    expect(guard.pass(bytes('\n')).toString()).toBe('half a line\n')
  })

  it('keep every byte value, LF apart', () => {
    const every = Buffer.from(Array.from({ length: 256 }, (_, value) => value))
    const { lines } = pass([every, bytes('\n')])
    expect(lines.join('\n')).toBe(every.toString('latin1'))
  })
})

describe('the bound', () => {
  it.each([
    [256, '\n', 1, 0],
    [257, '\n', 0, 1],
    [256, '\r\n', 1, 0],
    [257, '\r\n', 0, 1],
    [255, '\r\r\n', 1, 0],
    [256, '\r\r\n', 0, 1],
    [100_000, '\n', 0, 1],
  ])('of 256: %d bytes and %j', (length, ending, passed, overlong) => {
    const whole = bytes('x'.repeat(length) + ending)
    for (const size of [1, 7, 255, 256, 257, 258, 65_536]) {
      const result = pass(chop(whole, size))
      expect([result.lines.length, result.overlong], `chunks of ${size}`).toEqual([
        passed,
        overlong,
      ])
    }
  })

  it('throws away one line and no more', () => {
    const { lines, overlong } = pass([bytes(`a\n${'x'.repeat(999)}\nb\n${'y'.repeat(300)}\nc\n`)])
    expect(lines).toEqual(['a', 'b', 'c'])
    expect(overlong).toBe(2)
  })

  it('counts a line once, as soon as it is too long, though it never ends', () => {
    const guard = makeLengthGuard()
    for (let chunk = 0; chunk < 100; chunk++) guard.pass(Buffer.alloc(65_536, 0x55))
    expect(guard.overlong()).toBe(1)
    expect(guard.pass(bytes('\nback\n')).toString()).toBe('back\n')
    expect(guard.overlong()).toBe(1)
  })

  it('can be another', () => {
    expect(pass([bytes('12345\n123456\n')], { maxBytes: 5 })).toMatchObject({
      lines: ['12345'],
      overlong: 1,
    })
  })

  it('is the plain rule, whatever the bytes and the chunks (fast-check seed 5)', () => {
    const letters = fc.array(fc.constantFrom('\n', '\r', 'a', 'b', '\u0000', '\u00ff'), {
      maxLength: 80,
    })
    const cuts = fc.array(fc.nat(80), { maxLength: 8 })
    fc.assert(
      fc.property(letters, cuts, fc.integer({ min: 1, max: 6 }), (list, places, maxBytes) => {
        const text = list.join('')
        const whole = bytes(text)
        const at = [0, ...places.map((place) => Math.min(place, whole.length)), whole.length]
        at.sort((a, b) => a - b)
        const chunks = at.slice(1).map((to, index) => whole.subarray(at[index], to))
        const guard = makeLengthGuard({ maxBytes })
        const through = chunks.map((chunk) => guard.pass(chunk).toString('latin1')).join('')
        const wanted = plainRule(text, maxBytes)
        expect(through).toBe(wanted.lines.map((line) => `${line}\n`).join(''))
        expect(guard.overlong()).toBeGreaterThanOrEqual(wanted.overlong)
        expect(guard.overlong()).toBeLessThanOrEqual(wanted.overlong + 1)
      }),
      { seed: 5, numRuns: 2000 },
    )
  })
})

describe('a stream that starts torn', () => {
  it.each([1, 3, 1000])('loses all up to the first LF, uncounted (chunks of %d)', (size) => {
    const whole = bytes(`3,0,,E92C*59\r\nwhole\r\n`)
    expect(pass(chop(whole, size), { tornUnless: '$' })).toMatchObject({
      lines: ['whole\r'],
      overlong: 0,
    })
  })

  it('does not count the torn line even when it is endless', () => {
    const result = pass([Buffer.alloc(1_000_000, 0x41), bytes('\nok\n')], { tornUnless: '$' })
    expect(result).toMatchObject({ lines: ['ok'], overlong: 0 })
  })

  it.each([1, 3, 1000])('keeps a first line that is whole, chunks of %d', (size) => {
    // An answer that came before anything else: lost, the hello behind it would look like a restart.
    const whole = bytes('$PXOBA,1,OK,,0000*00\r\n$next\r\n')
    expect(pass(chop(whole, size), { tornUnless: '$' })).toMatchObject({
      lines: ['$PXOBA,1,OK,,0000*00\r', '$next\r'],
      overlong: 0,
    })
  })

  it.each(['\n', '\r\n', '9*59\r\n'])('of the torn line nothing is left: %j', (rest) => {
    expect(pass([bytes(`${rest}plain\n`)], { tornUnless: '$' }).lines).toEqual(['plain'])
  })
})

describe('the end', () => {
  it('of a file gives its last line, of a broken stream nothing', async () => {
    for (const [endIsLine, wanted] of [
      [true, 'a\nrest\n'],
      [false, 'a\n'],
    ] as const) {
      const stream = Readable.from([bytes('a\nre'), bytes('st')]).pipe(
        guardStream(makeLengthGuard(), endIsLine),
      )
      let through = ''
      for await (const chunk of stream) through += String(chunk)
      expect(through).toBe(wanted)
    }
  })

  it('of an overlong last line gives nothing', () => {
    const { guard } = pass([bytes('x'.repeat(300))])
    expect(guard.end().length).toBe(0)
    expect(guard.overlong()).toBe(1)
  })

  it('of nothing is nothing', () => {
    expect(makeLengthGuard().end().length).toBe(0)
  })
})

describe('memory', () => {
  it('does not grow by 64 MB without a line end', async () => {
    const source = new PassThrough()
    const stream = source.pipe(guardStream(makeLengthGuard(), false))
    let through = 0
    stream.on('data', (chunk: Buffer) => {
      through += chunk.length
    })
    const before = process.memoryUsage().arrayBuffers
    const chunk = Buffer.alloc(65_536, 0xaa)
    for (let sent = 0; sent < 1024; sent++)
      if (!source.write(chunk)) await new Promise((resolve) => source.once('drain', resolve))
    expect(through).toBe(0)
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(8_000_000)
  })
})
