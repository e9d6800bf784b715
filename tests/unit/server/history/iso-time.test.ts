import { afterEach, describe, expect, test } from 'vitest'
import { exactMs, isoWithOffset, typedMs } from '../../../../server/history/iso-time.ts'

const zone = process.env['TZ']
afterEach(() => {
  if (zone === undefined) delete process.env['TZ']
  else process.env['TZ'] = zone
})

describe('local time with its offset', () => {
  const NOON = Date.UTC(2026, 0, 5, 12, 34, 56, 789)

  test.each([
    ['UTC', '2026-01-05T12:34:56.789+00:00'],
    ['Europe/Berlin', '2026-01-05T13:34:56.789+01:00'],
    ['America/St_Johns', '2026-01-05T09:04:56.789-03:30'],
    ['Asia/Kathmandu', '2026-01-05T18:19:56.789+05:45'],
    ['Pacific/Kiritimati', '2026-01-06T02:34:56.789+14:00'],
  ])('in %s', (name, text) => {
    process.env['TZ'] = name
    expect(isoWithOffset(NOON)).toBe(text)
    expect(exactMs(text)).toBe(NOON)
  })

  test('the hour that comes twice is told apart by the offset', () => {
    process.env['TZ'] = 'Europe/Berlin'
    const first = Date.UTC(2026, 9, 25, 0, 30)
    expect(isoWithOffset(first)).toBe('2026-10-25T02:30:00.000+02:00')
    expect(isoWithOffset(first + 3_600_000)).toBe('2026-10-25T02:30:00.000+01:00')
  })
})

describe('a time in a record', () => {
  test.each([
    '2026-01-05T07:00:00Z',
    '2026-01-05T07:00:00.123456789+01:00',
    '2028-02-29T23:59:59-11:00',
  ])('%s is one', (text) => {
    expect(exactMs(text)).toBe(Date.parse(text))
  })

  test.each([
    '',
    'yesterday',
    '2026-01-05',
    '2026-01-05T07:00:00',
    '2026-01-05T07:00Z',
    '2026-01-05 07:00:00Z',
    '2026-13-05T07:00:00Z',
    '2026-02-29T07:00:00Z',
    '2026-04-31T07:00:00Z',
    '2026-01-00T07:00:00Z',
    '2026-01-05T25:00:00Z',
    '2026-01-05T07:61:00Z',
    '2026-01-05T07:00:00+0100',
    '2026-01-05T07:00:00Z ',
    '\n2026-01-05T07:00:00Z',
    '2026-01-05T07:00:00.Z',
  ])('%j is none', (text) => {
    expect(exactMs(text)).toBeNull()
  })
})

describe('a time that a person types', () => {
  test('without an offset is local, a bare day begins at midnight', () => {
    process.env['TZ'] = 'Europe/Berlin'
    expect(typedMs('2026-01-05')).toBe(Date.UTC(2026, 0, 4, 23))
    expect(typedMs('2026-07-05')).toBe(Date.UTC(2026, 6, 4, 22))
    expect(typedMs('2026-01-05T07:30')).toBe(Date.UTC(2026, 0, 5, 6, 30))
    expect(typedMs('2026-01-05T07:30Z')).toBe(Date.UTC(2026, 0, 5, 7, 30))
  })

  test.each(['', '2026', '2026-1-5', '5.1.2026', '2026-02-30', '2026-01-05T7:30', '2026-01-05Z'])(
    '%j is none',
    (text) => {
      expect(typedMs(text)).toBeNull()
    },
  )
})
