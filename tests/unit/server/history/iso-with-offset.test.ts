import fc from 'fast-check'
import { expect, test } from 'vitest'
import { isoWithOffset } from '../../../../server/history/iso-time.ts'

const TIMES = { min: Date.UTC(2000, 0), max: Date.UTC(2100, 0) }

test('the text names the same moment, to the millisecond, and carries an offset', () => {
  fc.assert(
    fc.property(fc.integer(TIMES), (wallMs) => {
      const text = isoWithOffset(wallMs)
      expect(text).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/)
      expect(Date.parse(text)).toBe(wallMs)
    }),
  )
})

test.each([
  ['Asia/Kolkata', '2026-01-05T12:30:00.000+05:30'],
  ['America/St_Johns', '2026-01-05T03:30:00.000-03:30'],
  ['UTC', '2026-01-05T07:00:00.000+00:00'],
])('in the zone %s', (zone, text) => {
  const before = process.env['TZ']
  process.env['TZ'] = zone
  try {
    expect(isoWithOffset(Date.UTC(2026, 0, 5, 7))).toBe(text)
  } finally {
    if (before === undefined) delete process.env['TZ']
    else process.env['TZ'] = before
  }
})
