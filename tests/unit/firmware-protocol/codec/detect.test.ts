import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import { detectDialect, type Heard } from '../../../../firmware-protocol/codec/detect.ts'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import { nmeaLine, xdrLine } from '../../../support/dialect-lines.ts'

const heard = (lines: readonly string[], strangeBytes = 0): Heard => ({
  lines,
  bytes: lines.join('\r\n').length + strangeBytes,
  strangeBytes,
})
const many = (count: number, line: (nth: number) => string) =>
  Array.from({ length: count }, (_, nth) => line(nth))

const native = (nth: number) =>
  encodeSentence({
    ...{ kind: 'sample', sequence: nth, tickUs: nth * 5000, counts: nth, flags: 0, second: null },
  })
const xdr = (nth: number) => xdrLine(`A,${(nth * 0.37).toFixed(2)},D,BEND`)
const position = (nth: number) => nmeaLine(`GPGGA,1235${nth},4807.038,N`)
const wobble = (nth: number) => (47 + Math.sin(nth)).toFixed(2)

describe('what fits best', () => {
  test.each<[string, Heard, string | undefined, number, number]>([
    ['the native protocol', heard(many(50, native)), 'native', 0.99, 1],
    ['one native line', heard([native(1)]), 'native', 0.95, 1],
    ['transducers', heard(many(12, xdr)), 'nmea-xdr', 0.99, 1],
    [
      'transducers among other sentences',
      heard(many(10, xdr).flatMap((line, nth) => [line, position(nth), position(nth + 1)])),
      'nmea-xdr',
      0.99,
      1,
    ],
    ['numbers', heard(many(40, wobble)), 'number', 0.85, 0.9],
    ['two numbers only', heard(['47.1', '47.2']), 'number', 0.4, 0.7],
    [
      'native on a bad cable',
      heard([...many(20, native), ...many(5, () => '$PX')]),
      'native',
      0.7,
      0.9,
    ],
    ['other sentences alone', heard(many(20, position)), undefined, 0, 0],
    ['words', heard(many(20, () => 'hello world')), undefined, 0, 0],
    ['nothing', heard([]), undefined, 0, 0],
  ])('%s', (_, given, dialect, from, to) => {
    const { best } = detectDialect(given)
    expect(best?.dialect).toBe(dialect)
    expect(best?.sure ?? 0).toBeGreaterThanOrEqual(from)
    expect(best?.sure ?? 0).toBeLessThanOrEqual(to)
  })

  test('a line more makes it surer, a damaged one less sure', () => {
    const sure = (lines: readonly string[]) => detectDialect(heard(lines)).best?.sure ?? 0
    expect(sure(many(3, wobble))).toBeGreaterThan(sure(many(2, wobble)))
    expect(sure([...many(9, xdr), '$'])).toBeLessThan(sure(many(9, xdr)))
  })
})

describe('columns', () => {
  const best = (line: (nth: number) => string) => detectDialect(heard(many(30, line))).best
  test.each<[string, (nth: number) => string, object, number]>([
    ['comma', (nth) => `x,${wobble(nth)}`, { separator: 'comma', column: 2 }, 0.85],
    ['semicolon', (nth) => `${wobble(nth)};x`, { separator: 'semicolon', column: 1 }, 0.85],
    ['tab', (nth) => `a\t${wobble(nth)}`, { separator: 'tab', column: 2 }, 0.85],
    ['space', (nth) => `deg ${wobble(nth)}`, { separator: 'space', column: 2 }, 0.85],
    ['a counter before it', (nth) => `${nth},${wobble(nth)}`, { column: 2 }, 0.85],
    [
      'milliseconds before it',
      (nth) => `${nth * 50 + (nth % 3)},${wobble(nth)}`,
      { column: 2 },
      0.85,
    ],
  ])('apart by %s', (_, line, column, sure) => {
    expect(best(line)?.column).toMatchObject(column)
    expect(best(line)?.sure).toBeGreaterThan(sure)
  })

  test('of two that may be the angle one is a guess, and that is said', () => {
    const fit = best((nth) => `${wobble(nth)},${wobble(nth + 1)}`)
    expect(fit?.column).toEqual({ separator: 'comma', column: 1 })
    expect(fit?.sure).toBeLessThan(0.7)
    expect(fit?.why).toContain('guess')
  })
})

describe('why nothing fits', () => {
  test.each([
    [heard([]), 'Nothing arrives.'],
    [heard(['x'], 500), 'Bytes arrive that are no text, as at a wrong baud rate.'],
    [{ lines: [], bytes: 500, strangeBytes: 0 }, 'Text arrives without line ends.'],
    [heard(['what', 'ever']), 'Lines arrive, but none of a dialect that is known here.'],
  ])('%j', (given, why) => {
    expect(detectDialect(given).why).toBe(why)
  })
})

test('numbers among strange bytes are no numbers: the rate is wrong', () => {
  expect(detectDialect(heard(many(5, wobble), 400)).best).toBeNull()
})

test('noise of a wrong baud rate fits nothing, 2000 times (seed 41)', () => {
  const random = makeRandom(41, 'noise')
  for (let round = 0; round < 2000; round++) {
    const lines = many(Math.floor(random.between(0, 20)), () =>
      String.fromCharCode(...many(12, () => '').map(() => Math.floor(random.between(0, 256)))),
    )
    const strange = lines.join('').length / 2
    expect(detectDialect(heard(lines, strange)).best).toBeNull()
  }
})

test('any lines at all give a sure between 0 and 1 and one sentence (seed 42)', () => {
  fc.assert(
    fc.property(
      fc.array(fc.string({ unit: 'binary-ascii', maxLength: 40 }), { maxLength: 30 }),
      (lines) => {
        const { best, fits, why } = detectDialect(heard(lines))
        expect(fits).toHaveLength(3)
        for (const { sure } of fits) {
          expect(sure).toBeGreaterThanOrEqual(0)
          expect(sure).toBeLessThanOrEqual(1)
        }
        expect(why).toMatch(/\.$/)
        expect(best === null || best.sure === Math.max(...fits.map(({ sure }) => sure))).toBe(true)
      },
    ),
    { seed: 42 },
  )
})
