import Database from 'better-sqlite3'
import fc from 'fast-check'
import { afterAll, describe, expect, test } from 'vitest'
import { type BendFilter, checkQuery, whereOf } from '../../../../server/history/filter.ts'
import { migrate } from '../../../../server/history/schema.ts'
import { refusalOf } from './shop.ts'

const db = new Database(':memory:')
migrate(db)
afterAll(() => void db.close())

const filters = fc.record<BendFilter>(
  {
    part: fc.string({ maxLength: 80 }),
    lot: fc.string({ maxLength: 80 }),
    operator: fc.string({ maxLength: 80 }),
    verdict: fc.constantFrom('in', 'under', 'over', 'incomplete'),
    from: fc.constant('2026-01-05'),
    to: fc.constant('2026-02-05T07:00Z'),
  },
  { requiredKeys: [] },
)

/** How SQLite would run a statement, in its own words. */
function planOf(sql: string, values: readonly unknown[]): string {
  const steps = db
    .prepare<unknown[], { detail: string }>(`EXPLAIN QUERY PLAN ${sql}`)
    .all(...values)
  return steps.map(({ detail }) => detail).join('; ')
}

test('any filter reads narrow index rows only, and sorts nothing (seed 11)', () => {
  fc.assert(
    fc.property(filters, (filter) => {
      const { where, values, index } = whereOf(filter)
      const sql = `SELECT id FROM bend INDEXED BY ${index} WHERE ${where} AND id < ? ORDER BY id DESC`
      const plan = planOf(sql, [...values, 100])
      expect(plan).toContain(`COVERING INDEX ${index}`)
      expect(plan).not.toContain('TEMP B-TREE')
    }),
    { seed: 11, numRuns: 200 },
  )
})

test('a range of time found by time reads narrow index rows only', () => {
  const { where, values } = whereOf({ from: '2026-01-05', verdict: 'in' })
  const plan = planOf(`SELECT count(*) FROM bend INDEXED BY bend_by_start WHERE ${where}`, values)
  expect(plan).toContain('COVERING INDEX bend_by_start')
})

describe('which index', () => {
  test.each<[BendFilter, string, boolean]>([
    [{}, 'bend_by_id', false],
    [{ verdict: 'in' }, 'bend_by_verdict', false],
    [{ operator: 'o', verdict: 'in' }, 'bend_by_operator', false],
    [{ part: 'p', operator: 'o' }, 'bend_by_part', false],
    [{ lot: 'l', part: 'p' }, 'bend_by_lot', false],
    [{ from: '2026-01-05' }, 'bend_by_id', true],
    [{ to: '2026-01-05', verdict: 'in' }, 'bend_by_verdict', true],
    [{ to: '2026-01-05', part: 'p' }, 'bend_by_part', false],
  ])('%j: %s', (filter, index, isByTime) => {
    expect(whereOf(filter)).toMatchObject({ index, isByTime })
  })
})

test('values are bound, never written into the statement', () => {
  const odd = "x' OR 1 = 1 --"
  const { where, values } = whereOf({ part: odd, lot: odd })
  expect(where).toBe('lot = ? AND part = ?')
  expect(values).toEqual([odd, odd])
})

test('no filter is everything, and still a condition', () => {
  expect(whereOf({})).toMatchObject({ where: 'TRUE', values: [], isEverything: true })
  expect(whereOf({ to: '2026-01-05' }).isEverything).toBe(false)
})

test.each<[BendFilter, string]>([
  [{ from: 'soon' }, 'from'],
  [{ to: '2026-02-30' }, 'to'],
  [{ from: '2026-01-05', to: '' }, 'to'],
])('%j is refused, naming the field', (filter, name) => {
  const refusal = refusalOf(() => whereOf(filter))
  expect(refusal.code).toBe('HISTORY_BAD_QUERY')
  expect(refusal.message).toContain(`${name} must be`)
})

test('a query of every field passes', () => {
  checkQuery({
    limit: 500,
    before: 1,
    part: 'p',
    lot: 'l',
    operator: 'o',
    verdict: 'over',
    from: 'f',
    to: 't',
  })
})
