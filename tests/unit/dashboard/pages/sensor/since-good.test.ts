import { expect, test } from 'vitest'
import { readFilter } from '../../../../../dashboard/pages/history/filter-address.ts'
import { sinceGood } from '../../../../../dashboard/pages/sensor/since-good.ts'

const check = (id: number, at: string, passed: boolean) => ({
  ...{ id, at, passed },
  ...{ differenceDeg: 0, isBeyond: false },
})
const CHECKS = [
  check(3, '2026-01-05T08:00:00.000+01:00', true),
  check(5, '2026-01-12T23:30:00.000+01:00', true),
  check(8, '2026-01-19T08:00:00.000+01:00', false),
  check(9, '2026-01-20T08:00:00.000+01:00', false),
]

test('from the day of the last check that passed on, at that bender', () => {
  const { day, all, open } = sinceGood('Rail bender', CHECKS)
  expect(day).toBe('2026-01-12')
  expect(Object.fromEntries(all)).toEqual({ firstDay: '2026-01-12', station: 'Rail bender' })
  expect(Object.fromEntries(open)).toEqual({
    ...{ firstDay: '2026-01-12', station: 'Rail bender', voided: 'no', noted: 'no' },
  })
})

test('all of them where none ever passed', () => {
  expect(sinceGood('B', CHECKS.slice(2))).toMatchObject({ day: null })
  expect(String(sinceGood('B', CHECKS.slice(2)).all)).toBe('station=B')
})

test('the address is one that the page of the history reads', () => {
  const { open } = sinceGood('Rail & bender', CHECKS)
  expect(readFilter(`#/history?${open}`)).toMatchObject({
    filter: { station: 'Rail & bender', noted: 'no' },
    problems: [],
  })
})
