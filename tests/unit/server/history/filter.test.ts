import { describe, expect, test } from 'vitest'
import { boundsOf, checkQuery } from '../../../../server/history/filter.ts'
import type { BendFilter, BendQuery } from '../../../../server/messages/find.ts'
import { refusalOf } from './shop.ts'

test.each<[BendFilter, string]>([
  [{ from: 'soon' }, 'from'],
  [{ to: '2026-02-30' }, 'to'],
  [{ from: '2026-01-05', to: '' }, 'to'],
  [{ firstDay: '2026-01-05T07:00Z' }, 'firstDay'],
  [{ lastDay: '2026-02-29' }, 'lastDay'],
])('%j is refused, naming the field', (filter, name) => {
  const refusal = refusalOf(() => boundsOf(filter, 0))
  expect(refusal.code).toBe('HISTORY_BAD_QUERY')
  expect(refusal.message).toContain(`${name} must be`)
})

test('a query of every field passes', () => {
  const query: Required<BendQuery> = {
    ...({ limit: 500, before: 1, after: 1, order: 'oldest' } as const),
    ...{ part: 'p', piece: 1, lot: 'l', die: 'd', station: 's', operator: 'o' },
    ...{ from: 'f', to: 't', firstDay: '2026-01-05', lastDay: '2026-01-06', daysBack: 30 },
    ...{ undecidedSince: '2026-01-05', text: 'words' },
    ...({ verdict: 'over', amended: 'yes', voided: 'no', signed: 'yes', noted: 'no' } as const),
    ...({ due: 'yes', simulated: 'no', readout: 'either', clock: 'set-back' } as const),
  }
  expect(() => checkQuery(query)).not.toThrow()
})

describe('days are the shop\u2019s own, both ends whole', () => {
  test.each([
    ['2026-01-05', 24],
    ['2026-02-28', 24],
    ['2024-02-29', 24],
  ])('%s', (day, hours) => {
    const { firstDay, lastDay } = boundsOf({ firstDay: day, lastDay: day }, 0)
    const [year = 0, month = 0, date = 0] = day.split('-').map(Number)
    expect(firstDay).toBe(new Date(year, month - 1, date).getTime())
    expect((lastDay ?? 0) - (firstDay ?? 0)).toBe(hours * 3_600_000)
  })

  test.each([
    [1, 2026, 3, 5],
    [2, 2026, 3, 4],
    [7, 2026, 2, 27],
    [31, 2026, 2, 3],
    [3660, 2016, 2, 27],
  ])('the last %i begin at a midnight', (daysBack, year, month, day) => {
    const midnight = new Date(year, month - 1, day).getTime()
    for (const nowMs of [new Date(2026, 2, 5), new Date(2026, 2, 5, 23, 59, 59, 999)])
      expect(boundsOf({ daysBack }, nowMs.getTime())).toEqual({ daysBack: midnight })
  })
})
