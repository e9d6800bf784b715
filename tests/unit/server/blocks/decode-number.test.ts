import { describe, expect, test } from 'vitest'
import { decodeNumber } from '../../../../server/blocks/decode-number.ts'
import { BAD, GOOD, NONE } from '../../../../server/chain/column.ts'
import { oneBlock } from './one-block.ts'
import { fromDevice, fromHost } from './wire.ts'

const read = (text: string, parameters: Record<string, unknown> = {}) =>
  oneBlock(decodeNumber, parameters).feed([{ line: fromDevice(text) }])[0]!
const reason = (text: string, parameters: Record<string, unknown> = {}) =>
  (read(text, parameters).all['trouble'] as { reason: string } | null)?.reason

describe('one number a line', () => {
  test.each([
    ['47.25', 47.25],
    ['  -0.35\t', -0.35],
    ['+1e2', 100],
    ['.5', 0.5],
  ])('"%s" is a reading', (text, value) => {
    expect(read(text)).toMatchObject({ value, quality: GOOD })
    expect(read(text).all).toMatchObject({ readings: 1, trouble: null })
  })

  test.each([
    ['abc', 'bad field'],
    ['1,2', 'bad field'],
    ['0x10', 'bad field'],
    ['1e15', 'bad field'],
    ['47.25 deg', 'bad field'],
    ['   ', 'empty'],
    ['4\u00007', 'not printable'],
    ['4\u00e97', 'not printable'],
    ['1'.repeat(257), 'overlong'],
  ])('"%s" is refused: %s', (text, why) => {
    expect(read(text).quality).toBe(NONE)
    expect(reason(text)).toBe(why)
  })
})

describe('columns', () => {
  const columns = (more: Record<string, unknown>) => ({ separator: 'comma', column: 2, ...more })
  test.each([
    ['comma', '1,47.25,3'],
    ['semicolon', '1; 47.25 ;3'],
    ['tab', '1\t47.25\t3'],
    ['space', '  1   47.25  3'],
  ])('apart by %s', (separator, text) => {
    expect(read(text, columns({ separator })).value).toBe(47.25)
  })

  test('an empty cell is a reading that is not valid: bad, and no trouble', () => {
    expect(read('1,,3', columns({}))).toMatchObject({ value: 0, quality: BAD })
    expect(reason('1,,3', columns({}))).toBeUndefined()
    expect(read('1\t\t3', columns({ separator: 'tab' })).quality).toBe(BAD)
  })

  test('a column that is not there refuses the line', () => {
    expect(reason('1', columns({}))).toBe('wrong field count')
  })

  test('a second channel is read beside it', () => {
    const given = columns({ pressureColumn: 3, switchColumn: 1 })
    expect(read('1,47.25,82.4', given).all).toMatchObject({ pressure: 82.4, switch: 1 })
    expect(read('0,47.25,82.4', given).all).toMatchObject({ switch: 0 })
    expect(read('7,47.25,82.4', given).all).toMatchObject({ switch: 1 })
  })

  test.each(['x,47.25,y', 'x,47.25', ',47.25,'])(
    'a second channel that cannot be read costs no angle: "%s"',
    (text) => {
      const rows = oneBlock(decodeNumber, columns({ pressureColumn: 3, switchColumn: 1 })).feed([
        { line: fromDevice(text) },
      ])
      expect(rows[0]).toMatchObject({ value: 47.25, quality: GOOD })
      expect(rows[0]?.all).toMatchObject({ pressure: 0, switch: 0, trouble: null })
    },
  )
})

test('a row that is not of the device, and a refused line after a good one, hold nothing', () => {
  const rows = oneBlock(decodeNumber).feed([
    { line: fromDevice('5') },
    { line: fromHost('6') },
    {},
    { line: fromDevice('?') },
  ])
  expect(rows.map(({ quality }) => quality)).toEqual([GOOD, NONE, NONE, NONE])
  expect(rows.map(({ all }) => (all['trouble'] ? 1 : 0))).toEqual([0, 0, 0, 1])
})
