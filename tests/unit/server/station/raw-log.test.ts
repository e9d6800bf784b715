import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { RawLine } from '../../../../server/chain/raw-line.ts'
import { RAW_BYTES_MAX, RAW_LINES_MAX } from '../../../../server/history/raw-text.ts'
import { formatRawLine, makeRawLog, parseRawLine } from '../../../../server/station/raw-log.ts'

const line = (arrivalS: number, text = `line ${arrivalS}`): RawLine => ({
  arrivalS,
  from: 'device',
  text,
})

describe('a raw line as text', () => {
  test('comes back as it was, to the last bit of its time', () => {
    fc.assert(
      fc.property(
        fc.double({ noNaN: true, noDefaultInfinity: true }),
        fc.constantFrom('device' as const, 'host' as const),
        fc.string({ unit: 'grapheme-ascii' }),
        (arrivalS, from, text) => {
          const given = { arrivalS: arrivalS + 0, from, text }
          expect(parseRawLine(formatRawLine(given))).toEqual(given)
        },
      ),
    )
  })
  test.each(['', 'x', '1\tq\ttext', 'NaN\td\ttext', '\t\t', 'Infinity\td\tx'])(
    'a line that is none is told: %j',
    (text) => {
      expect(parseRawLine(text)).toBeNull()
    },
  )
})

describe('the log', () => {
  test('keeps every line since the snapshot it names', () => {
    const log = makeRawLog('chain', 'at the start')
    for (let s = 0; s < 5; s++) log.add(line(s))
    const { chain, snapshot, lines } = log.record()
    expect([chain, snapshot]).toEqual(['chain', 'at the start'])
    expect(lines.map((text) => parseRawLine(text)?.arrivalS)).toEqual([0, 1, 2, 3, 4])
  })

  test('between bends it is bounded, and begins at least 2000 lines back', () => {
    const log = makeRawLog('chain', 'start')
    for (let s = 0; s < 50_000; s++) {
      log.add(line(s))
      log.trim(false, () => `after ${s}`)
      if (s % 4999 !== 4998) continue
      const { length } = log.record().lines
      expect(length).toBeLessThanOrEqual(4001)
      expect(length).toBeGreaterThanOrEqual(2000)
    }
    const { snapshot, lines } = log.record()
    const first = parseRawLine(lines[0] ?? '')?.arrivalS ?? 0
    expect(snapshot).toBe(`after ${first - 1}`)
  })

  test('while a bend is open nothing is dropped', () => {
    const log = makeRawLog('chain', 'start')
    for (let s = 0; s < 10_000; s++) {
      log.add(line(s))
      log.trim(true, () => 'never asked for')
    }
    expect(log.record().lines).toHaveLength(10_000)
    expect(log.record().snapshot).toBe('start')
  })

  test('after a long bend it begins anew', () => {
    const log = makeRawLog('chain', 'start')
    for (let s = 0; s < 10_000; s++) log.add(line(s))
    log.trim(false, () => 'after the bend')
    expect(log.record()).toEqual({ chain: 'chain', snapshot: 'after the bend', lines: [] })
  })

  test('it says when a bend has been open for too long, before the history would refuse it', () => {
    const log = makeRawLog('chain', 'start')
    while (!log.isFull()) log.add(line(1))
    const { length } = log.record().lines
    expect(length).toBeGreaterThan(RAW_LINES_MAX / 2)
    expect(length).toBeLessThan(RAW_LINES_MAX)
  })

  test('long lines fill it sooner: the history bounds bytes, too', () => {
    const log = makeRawLog('chain', 'start')
    while (!log.isFull()) log.add(line(1, 'x'.repeat(256)))
    const bytes = log.record().lines.reduce((sum, text) => sum + text.length + 1, 0)
    expect(bytes).toBeGreaterThan(RAW_BYTES_MAX / 2)
    expect(bytes).toBeLessThan(RAW_BYTES_MAX)
  })
})
