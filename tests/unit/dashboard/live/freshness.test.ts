import { expect, test } from 'vitest'
import { freshnessOf } from '../../../../dashboard/live/freshness.ts'

// The limits are those of the design: dimmed from 0.3 s, gone from 1 s.
test.each([
  [0, 'live'],
  [0.299, 'live'],
  [0.3, 'dim'],
  [0.999, 'dim'],
  [1, 'gone'],
  [3600, 'gone'],
  [Number.POSITIVE_INFINITY, 'gone'],
  [Number.NaN, 'gone'],
])('an angle %s s old is %s', (ageS, freshness) => {
  expect(freshnessOf(ageS)).toBe(freshness)
})
