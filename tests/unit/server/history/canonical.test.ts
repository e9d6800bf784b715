import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fromCanonical, makePick, toCanonical } from '../../../../server/history/canonical.ts'

const there = (value: object) => fromCanonical(toCanonical(value))

describe('numbers with a unit become integers', () => {
  test.each([
    [{ wantedDeg: 90 }, '{"wantedUdeg":90000000}'],
    [{ cueRateDegPerS: 12.75 }, '{"cueRateUdegPerS":12750000}'],
    [{ odMm: 38.1 }, '{"odNm":38100000}'],
    [{ leadS: 0.12 }, '{"leadUs":120000}'],
    [{ degreesOfFreedom: 4.5 }, '{"microDegreesOfFreedom":4500000}'],
    [{ modulusGpa: 68.9 }, '{"modulusKpa":68900000}'],
    [{ yieldMpa: 240.5 }, '{"yieldPa":240500000}'],
    [{ exponent: 0.44 }, '{"microExponent":440000}'],
    [
      { slopeSpread: 0.22, unloadingFactor: 0.9 },
      '{"microSlopeSpread":220000,"microUnloadingFactor":900000}',
    ],
    [
      { goes: [{ peakDeg: 1 }, { peakDeg: null }] },
      '{"goes":[{"peakUdeg":1000000},{"peakUdeg":null}]}',
    ],
    [{ hits: 2, simulated: true, lot: 'L', checked: null }, null],
  ])('%j', (value, text) => {
    expect(toCanonical(value)).toBe(text ?? '{"checked":null,"hits":2,"lot":"L","simulated":true}')
    expect(there(value)).toEqual(value)
  })

  test('a sixteenth of an inch, 1.5875 mm, is kept exactly', () => {
    expect(there({ wallMm: 1.5875 })).toEqual({ wallMm: 1.5875 })
  })

  test('a finer number is rounded to the step, minus zero to zero', () => {
    expect(there({ peakDeg: 1 / 3 })).toEqual({ peakDeg: 0.333333 })
    expect(there({ peakDeg: -0 })).toEqual({ peakDeg: 0 })
    expect(there({ peakDeg: -0.0000004 })).toEqual({ peakDeg: 0 })
    expect(there({ count: -0 })).toEqual({ count: 0 })
  })

  test('whatever is rounded to a millionth comes back to the bit (seed 20260105)', () => {
    const rounded = fc
      .double({ min: -1e9, max: 1e9, noNaN: true })
      .map((x) => Math.round(x * 1e6) / 1e6 + 0)
    const group = fc.record({ aDeg: rounded, bMm: rounded, cS: rounded, dDegPerS: rounded })
    fc.assert(
      fc.property(group, (value) => {
        expect(there(value)).toEqual(value)
        expect(toCanonical(there(value) as object)).toBe(toCanonical(value))
      }),
      { seed: 20260105, numRuns: 2000 },
    )
  })

  test('the order of the names does not matter (seed 7)', () => {
    const names = fc.uniqueArray(fc.string({ minLength: 1 }), { maxLength: 8 })
    const isPlain = (name: string) =>
      !/(Deg|DegPerS|Mm|S|Udeg|UdegPerS|Nm|Us|Gpa|Kpa|Mpa|Pa|OfFreedom)$/.test(name)
    fc.assert(
      fc.property(names, (all) => {
        const plain = all.filter((name) => isPlain(name) && name !== '__proto__')
        const value = Object.fromEntries(plain.map((name, i) => [name, i]))
        const turned = Object.fromEntries(Object.entries(value).reverse())
        expect(toCanonical(turned)).toBe(toCanonical(value))
      }),
      { seed: 7, numRuns: 500 },
    )
  })
})

describe('what cannot be kept is refused with its path', () => {
  test.each([
    ['no number', { a: { peakDeg: Number.NaN } }, '/a/peakDeg'],
    ['infinite', { leadS: Number.POSITIVE_INFINITY }, '/leadS'],
    ['too large for exact steps', { peakDeg: 2e9 }, '/peakDeg'],
    ['a fraction under a name without a unit', { hits: 1.5 }, '/hits'],
    ['a fraction in a list', { counts: [1, 0.5] }, '/counts/1'],
    ['not finite under a name without a unit', { hits: Number.NaN }, '/hits'],
    ['text where a unit promises a number', { peakDeg: '90' }, '/peakDeg'],
    ['a list where a unit promises a number', { tS: [1, 2] }, '/tS'],
    ['a name of a hashed unit', { wantedUdeg: 90 }, '/wantedUdeg'],
    ['a lone surrogate', { lot: '\uD800' }, 'surrogate'],
    ['a lone surrogate as a name', { '\uDC00': 1 }, 'surrogate'],
  ])('%s', (_, value, path) => {
    expect(() => toCanonical(value)).toThrow(path)
  })
})

test('reading refuses text that is no JSON', () => {
  expect(() => fromCanonical('{"a":')).toThrow(SyntaxError)
})

describe('a few names only', () => {
  test('are read as in the whole', () => {
    const value = { peakDeg: 93.5, releasedDeg: null, part: 'Rail', hits: 2, simulated: false }
    const names = ['peakDeg', 'releasedDeg', 'part', 'simulated'] as const
    const { hits: _, ...expected } = value
    expect(makePick(names)(toCanonical(value))).toEqual(expected)
  })

  test('a group among them is read with all that is in it', () => {
    const value = { readout: { releasedExpandedDeg: 0.26, standing: 'good' }, part: 'Rail' }
    expect(makePick(['readout'])(toCanonical(value))).toEqual({ readout: value.readout })
  })

  test('a name that is not there has no value', () => {
    expect(makePick(['peakDeg', 'part'])('{}')).toEqual({ peakDeg: undefined, part: undefined })
  })

  test('of no JSON is refused', () => {
    expect(() => makePick(['part'])('{"part"')).toThrow(SyntaxError)
  })
})
