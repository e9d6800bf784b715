import { expect, test } from 'vitest'
import { readFilter } from '../../../../../dashboard/pages/history/filter-address.ts'
import { sinceGood } from '../../../../../dashboard/pages/sensor/since-good.ts'

const FAILED_AT = '2026-01-19T08:00:00.000+01:00'
const DOUBT = { goodAt: '2026-01-12T23:30:00.000+01:00', failedAt: FAILED_AT }

test('from the day of the last check that passed on, at that bender', () => {
  const { day, all, open } = sinceGood('Rail bender', DOUBT)
  const since = { firstDay: '2026-01-12', station: 'Rail bender' }
  expect(day).toBe('2026-01-12')
  expect(Object.fromEntries(all)).toEqual(since)
  expect(Object.fromEntries(open)).toEqual({ ...since, undecidedSince: FAILED_AT })
})

test('all of them where none ever passed', () => {
  const { day, all } = sinceGood('B', { ...DOUBT, goodAt: null })
  expect(day).toBeNull()
  expect(String(all)).toBe('station=B')
})

test('the address is one that the page of the history reads', () => {
  const { open } = sinceGood('Rail & bender', DOUBT)
  expect(readFilter(`#/history?${open}`)).toMatchObject({
    filter: { station: 'Rail & bender', undecidedSince: FAILED_AT },
    problems: [],
  })
})
