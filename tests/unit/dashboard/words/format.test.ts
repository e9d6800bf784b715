import { describe, expect, test } from 'vitest'
import {
  apart,
  askedDegrees,
  asWritten,
  degrees,
  expanded,
  fixed,
  length,
  moment,
  momentWithOffset,
  signedDegrees,
  slots,
  uncertain,
  wholeSlotsFor,
} from '../../../../dashboard/words/format.ts'

describe('a number', () => {
  test.each([
    [1.25, 1, '1.3'],
    [-1.26, 1, '−1.3'],
    [0, 1, '0.0'],
    [-0.04, 1, '0.0'],
    [-0.05, 1, '−0.1'],
    [90, 0, '90'],
  ])('%s with %s decimals is %s', (value, decimals, text) => {
    expect(fixed(value, decimals)).toBe(text)
  })

  test('an error shows its sign unless it is nothing', () => {
    expect(signedDegrees(0.3)).toBe('+0.3°')
    expect(signedDegrees(-0.3)).toBe('−0.3°')
    expect(signedDegrees(0.01)).toBe('0.0°')
    expect(signedDegrees(0)).toBe('0.0°')
    expect(degrees(62, 2)).toBe('62.00°')
  })
})

describe('a length', () => {
  test.each([
    [38.1, 'mm', '38.1 mm'],
    [38.1, 'in', '1.5 in'],
    [114.3, 'in', '4.5 in'],
    [1.65, 'mm', '1.65 mm'],
    [100, 'mm', '100 mm'],
  ] as const)('of %s mm in %s is %s', (mm, unit, text) => {
    expect(length(mm, unit)).toBe(text)
  })
})

describe('a moment', () => {
  test('is the same moment again when read back', () => {
    const iso = '2026-01-05T07:00:12.000Z'
    expect(new Date(moment(iso).replace(' ', 'T')).toISOString()).toBe(iso)
  })

  test('that is none is shown as it came', () => {
    expect(moment('yesterday')).toBe('yesterday')
  })
})

describe('the slots of the big digits', () => {
  test.each([
    [905, 1, 2, '90.5'],
    [5, 1, 2, ' 0.5'],
    [-27, 1, 2, '−2.7'],
    [905, 1, 3, ' 90.5'],
    [9050, 2, 2, '90.50'],
    [91, 0, 2, '91'],
  ])('%s steps with %s decimals in %s places are "%s"', (steps, decimals, whole, text) => {
    expect(slots(steps, decimals, whole).join('')).toBe(text)
  })

  test('are as many for every angle that fits, so that no digit moves another', () => {
    const counts = new Set<number>()
    for (let steps = -99; steps <= 999; steps++) counts.add(slots(steps, 1, 2).length)
    expect([...counts]).toEqual([4])
  })

  test.each([
    [0, 2],
    [9.96, 2],
    [99.94, 2],
    [99.96, 3],
    [-9.94, 2],
    [-9.96, 3],
    [-179.5, 4],
  ])('%s° needs %s places before the point', (angleDeg, places) => {
    expect(wholeSlotsFor(angleDeg, 1)).toBe(places)
  })
})

describe('a moment that is evidence', () => {
  test.each(['2026-01-05T07:00:12+00:00', '2026-10-25T00:30:00Z', '2026-10-25T01:30:00Z'])(
    '%s is told so that it can be read back to the second, wherever it is read',
    (iso) => {
      const told = momentWithOffset(iso)
      expect(told).toMatch(/^\d{4}-\d\d-\d\d \d\d:\d\d:\d\d [+-]\d\d:\d\d$/)
      const [day, time, offset] = told.split(' ')
      expect(Date.parse(`${day}T${time}${offset}`)).toBe(Date.parse(iso))
    },
  )

  test('what is no moment stands as it is', () => {
    expect(momentWithOffset('yesterday')).toBe('yesterday')
  })
})

test.each([
  ['2019-03-04T00:00:00.000-05:00', '2019-03-04'],
  ['2019-03-04T00:00:00+00:00', '2019-03-04'],
  ['2019-03-04T07:30:00+13:00', '2019-03-04 07:30:00'],
])('a day of a notebook is no other day to a reader elsewhere: %s', (iso, told) => {
  expect(asWritten(iso)).toBe(told)
})

describe('words of a person within a sentence', () => {
  test.each(['Ada', 'Kjøl 🔧', '日本', ''])(
    '%s are written from left to right as they are',
    (text) => {
      expect(apart(text)).toBe(text)
    },
  )

  // UAX 9: FSI U+2068 and PDI U+2069 isolate what is between them.
  test.each(['سكة 17', 'שלד', 'a\u202eb'])('%s turn nothing round them', (text) => {
    expect(apart(text)).toBe(`\u2068${text}\u2069`)
  })
})

describe('an angle that was asked for', () => {
  test.each([
    [90, 1, '90.0°'],
    [90, 0, '90°'],
    [22.25, 1, '22.25°'],
    [22.25, 0, '22.25°'],
    [0.5, 2, '0.50°'],
    // ISO 2768-1, table 3, over 400 mm, classes f and m: 0°05′.
    [5 / 60, 1, '0.083°'],
    [1 / 3, 2, '0.333°'],
    [0.0004, 1, '0.0°'],
    [-12.5, 0, '−12.5°'],
    [89.9999, 1, '90.0°'],
  ])('%s° with %s decimals at least is %s', (angleDeg, decimals, text) => {
    expect(askedDegrees(angleDeg, decimals)).toBe(text)
  })
})

describe('an expanded uncertainty', () => {
  test.each([
    [0.26, '±0.3'],
    [0.3, '±0.3'],
    [0.30001, '±0.4'],
    [0.04, '±0.1'],
    [0.1, '±0.1'],
    [2, '±2.0'],
    [0, '±0.0'],
  ])('of %s° is never told better than it is: %s', (uncertaintyDeg, text) => {
    expect(expanded(uncertaintyDeg)).toBe(text)
  })

  test('nor with more decimals', () => {
    expect([0.1024, 0.11, 0.1100001].map((deg) => uncertain(deg, 2))).toEqual([
      '0.11',
      '0.11',
      '0.12',
    ])
  })
})
