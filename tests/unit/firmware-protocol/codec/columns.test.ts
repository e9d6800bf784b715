import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readCell, SEPARATORS, splitColumns } from '../../../../firmware-protocol/codec/columns.ts'
import { decodeNumber } from '../../../../firmware-protocol/codec/plain-number.ts'

const cells = (line: string, separator: (typeof SEPARATORS)[number]) => {
  const split = splitColumns(line, separator)
  return split.ok ? split.cells : split.reason
}

describe('columns', () => {
  test.each([
    ['1,2,3', 'comma', ['1', '2', '3']],
    ['1, 2 ,', 'comma', ['1', '2', '']],
    [',,', 'comma', ['', '', '']],
    ['1;2', 'comma', ['1;2']],
    ['1;2', 'semicolon', ['1', '2']],
    ['\t2', 'tab', ['', '2']],
    [' 1 \t 2 ', 'space', ['1', '2']],
    [' 1 2 ', 'none', ['1 2']],
    ['', 'comma', 'empty'],
    ['\t\t', 'tab', 'empty'],
    ['\u007f', 'none', 'not printable'],
    [' '.repeat(257), 'none', 'overlong'],
  ] as const)('%j by %s', (line, separator, expected) => {
    expect(cells(line, separator)).toEqual(expected)
  })

  test.each([
    [1, 12.5],
    [2, null],
    [3, Number.NaN],
    [4, Number.NaN],
    [0, Number.NaN],
  ])('cell %d', (column, expected) => {
    expect(readCell(['12.5', '', 'x'], column)).toBe(expected)
  })

  test('without a separator they read what one number a line reads (seed 31)', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary-ascii', maxLength: 12 }), (line) => {
        const one = decodeNumber(line)
        const split = splitColumns(line, 'none')
        const value = split.ok ? readCell(split.cells, 1) : null
        expect(one.ok ? one.value : one.reason).toEqual(
          split.ok ? (Number.isNaN(value) ? 'bad field' : value) : split.reason,
        )
      }),
      { seed: 31, numRuns: 500 },
    )
  })

  test('any line by any separator is cut or refused, never thrown at (seed 32)', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary', maxLength: 300 }),
        fc.constantFrom(...SEPARATORS),
        (line, separator) => {
          const split = splitColumns(line, separator)
          if (split.ok) for (const nth of split.cells.keys()) readCell(split.cells, nth + 1)
        },
      ),
      { seed: 32, numRuns: 500 },
    )
  })
})
