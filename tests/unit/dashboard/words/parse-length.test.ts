import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { length } from '../../../../dashboard/words/format.ts'
import { parseLengthMm, parseNumber } from '../../../../dashboard/words/parse-length.ts'

// 25.4 mm to the inch is exact by definition: international yard and pound agreement of 1959.
describe('a length as people write it', () => {
  test.each([
    ['38.1', 38.1],
    ['38,1', 38.1],
    ['38.1mm', 38.1],
    [' 38.1 mm ', 38.1],
    ['1.5in', 38.1],
    ['1.5 IN', 38.1],
    ['1.5"', 38.1],
    ['1 1/2 in', 38.1],
    ['1-1/2"', 38.1],
    ['3/8 in', 9.525],
    ['.065in', 1.651],
    ['4 1/2 inch', 114.3],
  ])('%j is %s mm', (text, mm) => {
    expect(parseLengthMm(text, 'mm')).toBeCloseTo(mm, 6)
  })

  test('without a unit it is in the unit of the form', () => {
    expect(parseLengthMm('1.5', 'in')).toBeCloseTo(38.1, 6)
    expect(parseLengthMm('1 1/2', 'in')).toBeCloseTo(38.1, 6)
    expect(parseLengthMm('38.1mm', 'in')).toBe(38.1)
  })

  test.each([
    '',
    ' ',
    'wide',
    '-5',
    '0',
    '1/0 in',
    '1..5',
    '1.5.2',
    '1 2 in',
    '1.5 1/2 in',
    '5 ft',
    '1e3',
    '0x10',
    'NaN',
    'Infinity',
    '1,234.5',
  ])('%j is no length', (text) => {
    expect(parseLengthMm(text, 'mm')).toBeNull()
  })

  test('what is shown can be typed again, in either unit (seed 254)', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 20, max: 500_000 }),
        fc.constantFrom('mm' as const, 'in' as const),
        (hundredths, unit) => {
          const mm = hundredths / 100
          const read = parseLengthMm(length(mm, unit), unit) ?? Number.NaN
          // Inches are shown to four decimals: half of that is 0.0013 mm.
          expect(Math.abs(read - mm)).toBeLessThanOrEqual(0.0014)
        },
      ),
      { seed: 254, numRuns: 300 },
    )
  })

  test('no text at all makes it throw (seed 99)', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const mm = parseLengthMm(text, 'in')
        expect(mm === null || mm > 0).toBe(true)
      }),
      { seed: 99, numRuns: 500 },
    )
  })
})

describe('a plain number', () => {
  test.each([
    ['90', 90],
    ['0,5', 0.5],
    [' .5 ', 0.5],
    ['-3.2', -3.2],
    ['5.', 5],
  ])('%j is %s', (text, value) => {
    expect(parseNumber(text)).toBe(value)
  })

  test.each(['', '.', '1e3', 'ninety', '1 2', '--1', 'NaN', '0x1f'])('%j is none', (text) => {
    expect(parseNumber(text)).toBeNull()
  })
})
