import { afterAll, bench, describe, expect } from 'vitest'
import { type BendFilter, whereOf } from '../../server/history/filter.ts'
import { makePages } from '../../server/history/pages.ts'
import type { BendQuery } from '../../server/messages/bends.ts'
import { makeLongHistory } from './history-long.ts'

/** A page of the list, against the two statements that anyone would write. The goal is 50 ms at a million. */
const BENDS = Number(process.env['OVERBEND_BENCH_BENDS'] ?? 100_000)
const LIMIT = 50
const options = { time: 500, warmupTime: 100 }

const { db, appendedPerS, remove } = makeLongHistory(BENDS)
afterAll(remove)
process.stdout.write(
  `${BENDS} bends; appended at ${appendedPerS} a second, without waiting for the disk.\n`,
)

const startOf = (n: number) => new Date(Date.UTC(2026, 0, 5, 7) + n * 20_000).toISOString()
const middle = Math.ceil(BENDS / 2)

const QUERIES: Readonly<Record<string, BendQuery>> = {
  'the newest': { limit: LIMIT },
  'from the middle': { limit: LIMIT, before: middle },
  'of one part': { limit: LIMIT, part: 'Part 7' },
  'in tolerance': { limit: LIMIT, verdict: 'in' },
  'incomplete, of one operator, long ago': {
    limit: LIMIT,
    verdict: 'incomplete',
    operator: 'Operator 3',
    before: Math.ceil(BENDS / 50),
  },
  'of a day long ago': { limit: LIMIT, from: startOf(1000), to: startOf(5320) },
  'of the older half': { limit: LIMIT, to: startOf(middle) },
  'in tolerance, of the older half': { limit: LIMIT, verdict: 'in', to: startOf(middle) },
  'of an operator who never was': { limit: LIMIT, verdict: 'in', operator: 'nobody' },
}

interface Listed {
  readonly id: number
  readonly record: string
}

/** The rows and their number by plain statements, with no hint to the database. */
function bareSql({ before = Number.MAX_SAFE_INTEGER, limit, ...filter }: BendQuery) {
  const { where, values } = whereOf(filter as BendFilter)
  const rows = db.prepare<unknown[], Listed>(
    `SELECT id, record FROM bend WHERE ${where} AND id < ? ORDER BY id DESC LIMIT ?`,
  )
  const total = db.prepare<unknown[], number>(`SELECT count(*) FROM bend WHERE ${where}`).pluck()
  return () => ({ rows: rows.all(...values, before, limit), total: total.get(...values) })
}

for (const [name, query] of Object.entries(QUERIES)) {
  const page = makePages(db)
  const bare = bareSql(query)
  // Nobody may be fast by giving something else.
  const { bends, total } = page(query)
  const expected = bare()
  expect(bends.map(({ id }) => id)).toEqual(expected.rows.map(({ id }) => id))
  expect(total).toBe(expected.total)

  describe(`${LIMIT} bends of ${BENDS}, ${name}`, () => {
    bench('page', () => void page(query), options)
    bench('page, its total not counted before', () => void makePages(db)(query), options)
    bench('bare SQL', () => void bare(), options)
  })
}
