import { Value } from 'typebox/value'
import { describe, expect, test } from 'vitest'
import { NO_FILTERS, queryOf } from '../../../../../dashboard/pages/history/query.ts'
import { BendQuery } from '../../../../../server/messages/find.ts'

const asSent = (query: URLSearchParams) => {
  const { limit, before, ...rest } = Object.fromEntries(query)
  return { ...rest, limit: Number(limit), ...(before ? { before: Number(before) } : {}) }
}

describe('the query of a page of history', () => {
  test('asks for the newest when nothing is filtered', () => {
    expect(asSent(queryOf(NO_FILTERS, null))).toEqual({ limit: 50 })
  })

  test('is one the daemon takes, with everything filled in', () => {
    const filters = {
      part: 'Rail & ladder',
      lot: 'A/7',
      operator: 'O 1',
      verdict: 'under',
      from: '2026-01-05',
      to: '2026-01-06',
    }
    const sent = asSent(queryOf(filters, 100))
    expect(Value.Check(BendQuery, sent)).toBe(true)
    expect(sent).toMatchObject({ part: 'Rail & ladder', lot: 'A/7', before: 100 })
  })

  test('the last day counts whole', () => {
    const query = queryOf({ ...NO_FILTERS, from: '2026-01-05', to: '2026-01-05' }, null)
    const spanMs = Date.parse(query.get('to') ?? '') - Date.parse(query.get('from') ?? '')
    expect(spanMs).toBe(24 * 3600 * 1000)
  })

  test.each(['', '   '])('leaves out a filter of "%s"', (part) => {
    expect(queryOf({ ...NO_FILTERS, part }, null).has('part')).toBe(false)
  })

  test.each(['yesterday', '2026', '2026-xx-01'])(
    'leaves out the day "%s", which is none',
    (from) => {
      expect(queryOf({ ...NO_FILTERS, from }, null).has('from')).toBe(false)
    },
  )
})
