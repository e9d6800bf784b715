import { expect, test } from 'vitest'
import { readFilter } from '../../../../../dashboard/pages/history/filter-address.ts'
import { sinceGood } from '../../../../../dashboard/pages/sensor/since-good.ts'

const GOOD_AT = '2026-01-12T23:30:00.000+01:00'
const FAILED_AT = '2026-01-19T08:00:00.000+01:00'
const DOUBT = { goodAt: GOOD_AT, failedAt: FAILED_AT }

test('since the last check that passed, at that bender', () => {
  const { from, all, open } = sinceGood('Rail bender', DOUBT)
  const since = { from: GOOD_AT, station: 'Rail bender' }
  expect(from).toBe(GOOD_AT)
  expect(Object.fromEntries(all)).toEqual(since)
  expect(Object.fromEntries(open)).toEqual({ ...since, undecidedSince: FAILED_AT })
})

test('all of them where none ever passed', () => {
  const { from, all } = sinceGood('B', { ...DOUBT, goodAt: null })
  expect(from).toBeNull()
  expect(String(all)).toBe('station=B')
})

test('the address is one that the page of the history reads', () => {
  const { open } = sinceGood('Rail & bender', DOUBT)
  expect(readFilter(`#/history?${open}`)).toMatchObject({
    filter: { from: GOOD_AT, station: 'Rail & bender', undecidedSince: FAILED_AT },
    problems: [],
  })
})
