import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  MAX_LINE_BYTES,
  makeLineSplitter,
} from '../../../../firmware-protocol/codec/line-splitter.ts'

const bytesOf = (text: string) => Uint8Array.from(text, (char) => char.charCodeAt(0))

/** All that comes of some chunks: lines, and `null` for each line that was thrown away. */
function split(chunks: readonly Uint8Array[], atEnd = false) {
  const told: (string | null)[] = []
  const splitter = makeLineSplitter(
    (line) => told.push(line),
    () => told.push(null),
  )
  for (const chunk of chunks) splitter.push(chunk)
  if (atEnd) splitter.end()
  return { told, overlong: splitter.overlong() }
}

const linesOf = (...texts: string[]) => split(texts.map(bytesOf)).told

describe('makeLineSplitter', () => {
  it.each([
    ['CR LF', 'a\r\nb\r\n', ['a', 'b']],
    ['LF', 'a\nb\n', ['a', 'b']],
    ['CR', 'a\rb\r', ['a', 'b']],
    ['all three', 'a\r\nb\nc\rd\n\r', ['a', 'b', 'c', 'd']],
    ['empty lines between', '\n\n\r\n\r\ra\n\n\nb\n', ['a', 'b']],
    ['NUL and high bytes, one to one', '\0\u00ff\u0080\n', ['\0\u00ff\u0080']],
    ['spaces, which are not nothing', ' \n', [' ']],
    ['no end', 'a\nhalf', ['a']],
    ['nothing', '', []],
  ])('cuts at %s', (_, text, lines) => {
    expect(linesOf(text)).toEqual(lines)
  })

  it('puts a line together from its pieces', () => {
    expect(linesOf('$PX', '', 'OB', '\r', '\nnext\n')).toEqual(['$PXOB', 'next'])
  })

  it('gives the rest at the end, once, and nothing for an empty rest', () => {
    expect(split([bytesOf('a\nrest')], true).told).toEqual(['a', 'rest'])
    expect(split([bytesOf('a\n')], true).told).toEqual(['a'])
    const told: string[] = []
    const splitter = makeLineSplitter((line) => told.push(line))
    splitter.push(bytesOf('rest'))
    splitter.end()
    splitter.end()
    splitter.push(bytesOf('more\n'))
    expect(told).toEqual(['rest', 'more'])
  })

  it('keeps a line of 256 bytes and counts one of 257, then goes on', () => {
    const fits = 'x'.repeat(MAX_LINE_BYTES)
    expect(linesOf(`${fits}\r\nnext\n`)).toEqual([fits, 'next'])
    expect(split([bytesOf(`${fits}y\r\nnext\n`)])).toEqual({ told: [null, 'next'], overlong: 1 })
  })

  it('counts an endless line once, when it passes the bound', () => {
    const piece = bytesOf('x'.repeat(1000))
    const { told, overlong } = split([...Array(1000).fill(piece), bytesOf('\nnext\n')])
    expect(told).toEqual([null, 'next'])
    expect(overlong).toBe(1)
  })

  it('ends an overlong line at any line end', () => {
    const long = 'x'.repeat(300)
    expect(linesOf(`${long}\rnext\r${long}\nlast\n`)).toEqual([null, 'next', null, 'last'])
  })

  it('drops the overlong rest at the end of the stream', () => {
    expect(split([bytesOf('x'.repeat(300))], true)).toEqual({ told: [null], overlong: 1 })
  })

  it('gives the same lines wherever a stream is cut in two, and byte by byte', () => {
    const stream = bytesOf(
      `$A*41\r\n\0\u00ffgarbage\r${'y'.repeat(270)}\n\n$B*42\n${'z'.repeat(256)}\r\n`,
    )
    const whole = split([stream])
    expect(whole.told).toHaveLength(5)
    for (let at = 0; at <= stream.length; at++)
      expect(split([stream.subarray(0, at), stream.subarray(at)])).toEqual(whole)
    expect(split(Array.from(stream, (byte) => Uint8Array.of(byte)))).toEqual(whole)
  })

  it('gives the same lines for any bytes in any chunks (seed 22)', () => {
    const byte = fc.oneof(
      { weight: 1, arbitrary: fc.constantFrom(10, 13) },
      { weight: 40, arbitrary: fc.integer({ min: 0, max: 255 }) },
    )
    const chunks = fc.array(fc.uint8Array({ maxLength: 40 }), { maxLength: 8 })
    const dense = fc.array(
      fc.array(byte, { maxLength: 300 }).map((list) => Uint8Array.from(list)),
      {
        maxLength: 6,
      },
    )
    fc.assert(
      fc.property(fc.oneof(chunks, dense), (pieces) => {
        const joined = Uint8Array.from(pieces.flatMap((piece) => [...piece]))
        expect(split(pieces, true)).toEqual(split([joined], true))
      }),
      { seed: 22, numRuns: 500 },
    )
  })

  it('is the plain split of the whole text, but for empty and overlong lines (seed 23)', () => {
    const unit = fc.constantFrom('\r', '\n', '\r\n', 'a', '\u00ff', 'x'.repeat(200))
    fc.assert(
      fc.property(fc.string({ unit, maxLength: 60 }), (text) => {
        const plain = text.split(/[\r\n]/).filter((line) => line !== '')
        const expected = plain.map((line) => (line.length > MAX_LINE_BYTES ? null : line))
        expect(split([bytesOf(text)], true).told).toEqual(expected)
      }),
      { seed: 23, numRuns: 500 },
    )
  })

  it('hands out lines that stay as they are when the next ones come', () => {
    const lines = linesOf('first\n', 'other\n')
    expect(lines).toEqual(['first', 'other'])
  })

  it('goes on after a listener has thrown', () => {
    const told: string[] = []
    const splitter = makeLineSplitter((line) => {
      if (line === 'bad') throw new Error('no')
      told.push(line)
    })
    expect(() => splitter.push(bytesOf('bad\n'))).toThrow('no')
    splitter.push(bytesOf('good\n'))
    expect(told).toEqual(['good'])
  })
})
