import { describe, expect, test } from 'vitest'
import { readNumber, readTime } from '../../../../../server/station/notebook/read-cell.ts'

const point = { decimal: 'point', dates: 'year-first' } as const
const comma = { decimal: 'comma', dates: 'day-first' } as const
const localMs = (...parts: [number, number, number, number?, number?]) =>
  new Date(...parts).getTime()
const ms = (text: string | null) => (text === null ? null : Date.parse(text))

describe('a number', () => {
  test.each([
    ['90', 90],
    ['90.25', 90.25],
    ['-0.5', -0.5],
    ['\u22120.5', -0.5],
    ['90.5°', 90.5],
    ['90.5 deg', 90.5],
  ])('%s', (cell, value) => expect(readNumber(cell, point)).toBe(value))

  test('has a decimal comma where it is said to', () => {
    expect(readNumber('90,25', comma)).toBe(90.25)
    expect(readNumber('90.25', comma)).toBeNull()
    expect(readNumber('90,25', point)).toBeNull()
  })

  test.each(['', 'abc', '1.234.5', '1,234.5', '9e9', 'NaN', 'Infinity', '0x10', '90 91', '--1'])(
    '"%s" is none',
    (cell) => expect(readNumber(cell, point)).toBeNull(),
  )
})

describe('a time', () => {
  test('stands in the order that is said', () => {
    const march = localMs(2019, 2, 4)
    expect(ms(readTime('2019-03-04', point))).toBe(march)
    expect(ms(readTime('4.3.2019', comma))).toBe(march)
    expect(ms(readTime('3/4/2019', { ...comma, dates: 'month-first' }))).toBe(march)
  })

  test('may have a time of day, and an offset', () => {
    expect(ms(readTime('04.03.2019 7:05', comma))).toBe(localMs(2019, 2, 4, 7, 5))
    expect(ms(readTime('2019-03-04T07:05:00+02:00', point))).toBe(Date.UTC(2019, 2, 4, 5, 5))
  })

  test.each(['31.2.2019', '4.3.19', '2019/13/01', '3 March', '4.3.2019 25:00', '4.3.2019 7:61'])(
    '"%s" is none',
    (cell) => expect(readTime(cell, comma)).toBeNull(),
  )
})
