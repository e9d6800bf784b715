import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readDecimal } from '../../../../firmware-protocol/codec/decimal.ts'

describe('readDecimal', () => {
  it.each([
    ['0', 0],
    ['12.34', 12.34],
    ['-0.7', -0.7],
    ['+02.9', 2.9],
    ['.5', 0.5],
    ['5.', 5],
    ['1e3', 1000],
    ['1.5E-3', 0.0015],
    ['0.6135744', 0.6135744],
  ])('reads %s', (text, value) => {
    expect(readDecimal(text)).toBe(value)
  })

  it.each([
    '',
    ' ',
    '.',
    '-',
    '+',
    '-.',
    '1,5',
    '1 2',
    '0x10',
    '0b1',
    '1e',
    'e5',
    '1e1.5',
    '1e1000',
    '1_000',
    'NaN',
    'nan',
    'Infinity',
    '-inf',
    '1n',
    '--1',
    '+-1',
    '١',
    '1\n',
    '9'.repeat(400),
  ])('does not read %j', (text) => {
    expect(readDecimal(text)).toBeNaN()
  })

  it('reads every finite number as JavaScript writes it (seed 19)', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        expect(readDecimal(String(value))).toBe(Number(String(value)))
      }),
      { seed: 19, numRuns: 1000 },
    )
  })
})
