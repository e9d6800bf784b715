import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { formula } from '../../../../server/blocks/formula.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'

const UNITS = { unitA: 'deg', unitB: 'deg', unitC: '1', unitD: '1', unit: 'deg' }
const start = (expression: string, units = {}) =>
  formula.start({ ...UNITS, ...units, expression } as never)
const run = (expression: string, rows: Record<string, unknown>[], units = {}) =>
  oneBlock(formula, { ...UNITS, ...units, expression }).feed(rows as never)
const PURE = { unitA: '1', unitB: '1', unit: '1' }
const of = (expression: string, a: number, b = 0) =>
  run(expression, [{ a, b, c: 2, d: 3 }], PURE)[0]!.value

function refused(expression: string, units = {}): string {
  try {
    start(expression, units)
  } catch (error) {
    if (error instanceof RangeError) return error.message
    throw error
  }
  throw new Error(`taken: ${expression}`)
}

describe('values', () => {
  test.each([
    ['a', 7, 7],
    ['-a^2', 3, -9],
    ['(-a)^2', 3, 9],
    ['2^3^2', 0, 512],
    ['a^-1', 4, 0.25],
    ['1 + 2 * 3', 0, 7],
    ['(1 + 2) * 3', 0, 9],
    ['10 - 4 - 3', 0, 3],
    ['a > 2 ? 10 : 20', 3, 10],
    ['a > 2 ? 10 : 20', 2, 20],
    ['a < 0 ? 1 : a < 5 ? 2 : 3', 4, 2],
    ['(a >= 3) + (a == 3) + (a != 3)', 3, 2],
    ['min(a, 2, -1)', 5, -1],
    ['max(a, 2, 9, 1)', 5, 9],
    ['clamp(a, 0, 10)', 12, 10],
    ['clamp(a, 0, 10)', -12, 0],
    ['round(a)', -2.5, -3],
    ['round(a)', 2.5, 3],
    ['sign(a)', -2, -1],
    ['sqrt(a) + abs(-a)', 9, 12],
    ['pow(a, 3)', 2, 8],
    ['log(exp(a))', 1.5, 1.5],
    ['sin(30 * deg)', 0, 0.5],
    ['cos(60 * deg)', 0, 0.5],
    ['tan(45 * deg)', 0, 1],
    ['atan2(1, 1) / deg', 0, 45],
    ['c * 10 + d', 0, 23],
    ['1.5e3 + .5', 0, 1500.5],
  ])('%s, a = %d: %d', (expression, a, expected) => {
    expect(of(expression, a)).toBeCloseTo(expected, 12)
  })
})

describe('units', () => {
  test.each([
    ['a + b', {}],
    ['a + 5*deg', {}],
    ['a * c', {}],
    ['a / s', { unit: 'deg/s' }],
    ['c * s * b', { unitB: 'deg/s' }],
    ['b * d', { unitB: 'deg/s', unitD: 's' }],
    ['sqrt(a * b)', {}],
    ['a^2 / b', {}],
    ['pow(a, 3) / b^2', {}],
    ['pow(a, 1.5) / sqrt(b)', {}],
    ['atan2(a, b)', {}],
    ['a * sin(b)', {}],
    ['a > b ? a : b', {}],
    ['a > b', { unit: '1' }],
    ['sign(a)', { unit: '1' }],
    ['round(a)', {}],
    ['clamp(a, 0*deg, b)', {}],
    ['c * bar / s', { unit: 'bar/s' }],
  ])('%s goes together', (expression, units) => {
    expect(() => start(expression, units)).not.toThrow()
  })

  test.each([
    ['a + c * bar', {}, 'in a + c * bar deg and bar do not go together'],
    ['a + 5', {}, 'in a + 5 deg and a pure number do not go together; a number takes its unit'],
    ['a * b', {}, 'it gives deg^2, but is to give deg'],
    ['a / d', { unitD: 's' }, 'it gives deg/s, but is to give deg'],
    ['sin(c) * a', {}, 'c is a pure number, where sin(c) takes deg'],
    ['exp(a) * b', {}, 'a is deg, where exp(a) takes a pure number'],
    ['a ^ b', {}, 'b is deg, where a ^ b takes a pure number'],
    ['a ^ c', {}, 'the power of something with a unit must be a plain number'],
    ['a > b ? a : c', {}, 'in a > b ? a : c deg and a pure number do not go together'],
    ['a ? a : b', {}, 'a is deg, where a ? a : b takes a pure number'],
    ['max(a, b, c)', {}, 'in max(a, b, c) deg and a pure number do not go together'],
    ['atan2(a, c)', {}, 'do not go together'],
  ])('%s is refused', (expression, units, sentence) => {
    expect(refused(expression, units)).toContain(sentence)
  })
})

describe('what is no formula is refused, with its place where it has one', () => {
  test.each([
    ['', 'it is empty'],
    ['   ', 'it is empty'],
    ['a.b', '"." at place 2'],
    ['a[0]', '"[" at place 2'],
    ['a["constructor"]', '"[" at place 2'],
    ['constructor', 'no "constructor" (at place 1)'],
    ['__proto__', 'no "__proto__" (at place 1)'],
    ['toString()', 'no "toString"'],
    ['a + this', 'no "this" (at place 5)'],
    ['globalThis', 'no "globalThis"'],
    ['process.exit()', 'no "process"'],
    ['eval("1")', 'no "eval"'],
    ['import("fs")', 'no "import"'],
    ['Function("x")()', 'no "Function"'],
    ['new Date', 'no "new"'],
    ['a = 1', '"=" at place 3'],
    ['a += 1', 'at place'],
    ['a++', 'at place'],
    ['a === 1', '"=" at place'],
    ['a !== 1', 'at place'],
    ['a && b', '"&" at place 3'],
    ['a || b', '"|" at place 3'],
    ['!a', '"!" at place 1'],
    ['~a', '"~" at place 1'],
    ['a % b', '"%" at place 3'],
    ['a ?? b', 'refused'],
    ['a?.b', 'refused'],
    ['a ** b', 'no operator "**"'],
    ['a << 1', 'refused'],
    ['a => a', 'refused'],
    ['"text"', 'at place 1'],
    ["'text'", 'at place 1'],
    ['`a`', 'at place 1'],
    ['`$' + '{a}`', 'at place 1'],
    ['[a, b]', 'at place 1'],
    ['{a}', 'at place 1'],
    ['/a/', 'at place'],
    ['a; b', '";" at place 2'],
    ['a, b', 'one formula'],
    ['(a, b)', 'one formula'],
    ['a b', 'an operator is missing at place 3'],
    ['2a', 'refused'],
    ['a(2)', 'an operator is missing'],
    ['(a)(b)', 'an operator is missing at place 4'],
    ['max(a b)', 'an operator is missing at place 7'],
    ['max', 'refused'],
    ['sin a', 'opening bracket is missing at place 5'],
    ['abs + 1', 'opening bracket is missing'],
    ['max(a)', 'max takes 2 to 4 values, not 1'],
    ['abs(a, b)', 'abs takes 1 values, not 2'],
    ['abs()', 'abs takes 1 values, not 0'],
    ['(a', 'place'],
    ['a)', 'place'],
    ['a +', 'place'],
    ['a ? b', 'place'],
    ['a : b', 'refused'],
    ['true', 'no "true"'],
    ['null', 'no "null"'],
    ['NaN', 'no "NaN"'],
    ['Infinity', 'no "Infinity"'],
    ['1e999', 'too large'],
    ['1e', 'refused'],
    ['0x10', 'refused'],
    ['1.2.3', 'refused'],
    ['a // b', 'place'],
    ['a\u0000', 'at place 2'],
    ['ａ', 'at place 1'],
    ['a\u202eb', 'at place 2'],
    ['😀', 'at place 1'],
    ['x'.repeat(200), 'no "xxxxxxxxxxxxxxxxxxxx"'],
    ['a'.repeat(201), '201 characters'],
    [`${'-'.repeat(60)}a`, 'nested deeper than 20'],
    [`${'('.repeat(60)}a${')'.repeat(60)}`, 'nested deeper than 20'],
    [`${'abs('.repeat(30)}a${')'.repeat(30)}`, 'nested deeper than 20'],
    ['('.repeat(200), 'refused'],
  ])('%s', (expression, part) => {
    const sentence = refused(expression)
    expect(sentence).toMatch(/^expression is refused: [^\n]+\.$/)
    expect(sentence).toContain(part)
  })

  test('no bytes whatever throw anything but a refusal, or give what is no number (seed 41)', () => {
    const alphabet = [
      ...'abcd +-*/^()<>=!?:,.019e\'"`[]{}$_\\;&|%~',
      'sin',
      'max',
      'deg',
      'this',
      'a.b',
    ]
    const text = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 210 }),
      fc.array(fc.constantFrom(...alphabet), { maxLength: 60 }).map((parts) => parts.join('')),
    )
    let taken = 0
    fc.assert(
      fc.property(text, (expression) => {
        try {
          start(expression, PURE)
        } catch (error) {
          expect(error).toBeInstanceOf(RangeError)
          expect((error as Error).message).toMatch(/^expression is refused: /)
          return
        }
        taken++
        const [row] = run(expression, [{ a: 1, b: 2, c: 3, d: 4 }], PURE)
        expect(row!.value).toSatisfy(Number.isFinite)
      }),
      { seed: 41, numRuns: 5000 },
    )
    expect(taken).toBeGreaterThan(20)
  })
})

describe('rows', () => {
  test('quality is the worst of the inputs that are named', () => {
    const out = run('a + b', [
      { a: 1, b: 2 },
      { a: flawed(1, UNCERTAIN), b: 2 },
      { a: 1, b: flawed(2, BAD) },
      { a: 1, b: nothing },
      { a: 1, b: 5, c: flawed(9, BAD) },
    ])
    expect(out.map(({ quality }) => quality)).toEqual([GOOD, UNCERTAIN, BAD, NONE, GOOD])
    expect(out[2]!.value).toBe(3)
  })

  test('a result that is no number is bad, and the last stands; 0 before the first', () => {
    const out = run('a / b * deg', [
      { a: 1, b: 0 },
      { a: 6, b: 2 },
      { a: 0, b: 0 },
      { a: 4, b: 2 },
    ])
    expect(out.map(({ value, quality }) => [value, quality])).toEqual([
      [0, BAD],
      [3, GOOD],
      [3, BAD],
      [2, GOOD],
    ])
  })

  test('a good value that is no number is bad', () => {
    expect(run('a', [{ a: Number.NaN }, { a: Number.POSITIVE_INFINITY }])).toMatchObject([
      { quality: BAD },
      { quality: BAD },
    ])
  })

  test('nothing is decided by what is no number', () => {
    expect(run('sqrt(c) > 1 ? a : b', [{ a: 1, b: 2, c: -1 }])[0]).toMatchObject({ quality: BAD })
    expect(run('sqrt(c) ? a : b', [{ a: 1, b: 2, c: -1 }])[0]).toMatchObject({ quality: BAD })
  })

  test('an input that is named must be connected', () => {
    const needs = (expression: string) => formula.needs?.({ ...UNITS, expression } as never)
    expect(needs('a + 2*b - max(d, 1)')).toEqual(['b', 'd'])
    expect(needs('a + 1*bar + 1*deg + count')).toEqual([])
  })
})
