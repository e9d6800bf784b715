import { afterAll, bench, describe, expect } from 'vitest'
import { makeKeepBlocks } from '../../server/history/find/block-store.ts'
import { makeSearch } from '../../server/history/find/search.ts'
import type { BendFilter, BendQuery } from '../../server/messages/find.ts'
import { bendChartSteps } from '../../server/quality/bend-charts.ts'
import { busyness, quantile } from './figures.ts'
import { addActs, makeLongHistory } from './history-long.ts'

/** A page of the list, against the two statements that anyone would write. The goal is 50 ms at a million. */
const BENDS = Number(process.env['OVERBEND_BENCH_BENDS'] ?? 100_000)
const LIMIT = 50
const options = { time: 500, warmupTime: 100 }

const { db, appendedPerS, remove } = makeLongHistory(BENDS)
afterAll(remove)
const acts = addActs(db, BENDS)
process.stdout.write(
  `${BENDS} bends and ${acts} acts, ${busyness()}; appended at ${appendedPerS} a second, without waiting for the disk.\n`,
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

/** A filter of the columns that the table has, as anyone would write it. */
function whereOf({ from, to, ...equal }: BendFilter) {
  const conditions = Object.keys(equal).map((name) => `${name} = ?`)
  const values: (string | number)[] = Object.values(equal)
  if (from !== undefined) {
    conditions.push('started_ms >= ?')
    values.push(Date.parse(from))
  }
  if (to !== undefined) {
    conditions.push('started_ms < ?')
    values.push(Date.parse(to))
  }
  return { where: conditions.length === 0 ? 'TRUE' : conditions.join(' AND '), values }
}

/** The rows, their number and what the summary says, by plain statements with no hint to the database. */
function bareSql({ before = Number.MAX_SAFE_INTEGER, limit, ...filter }: BendQuery) {
  const { where, values } = whereOf(filter)
  const rows = db.prepare<unknown[], Listed>(
    `SELECT id, record FROM bend WHERE ${where} AND id < ? ORDER BY id DESC LIMIT ?`,
  )
  const total = db.prepare<unknown[], number>(`SELECT count(*) FROM bend WHERE ${where}`).pluck()
  return () => ({ rows: rows.all(...values, before, limit), total: total.get(...values) })
}

/** Columns alone: the angles would have to be read out of a million records. */
function bareSummary({ before: _before, limit: _limit, ...filter }: BendQuery) {
  const { where, values } = whereOf(filter)
  const figures = db.prepare<unknown[], unknown>(`
    SELECT count(*), min(started_ms), max(started_ms), sum(verdict = 'in'), sum(verdict = 'under'),
      sum(verdict = 'over') FROM bend WHERE ${where}`)
  return () => figures.get(...values)
}

const beganMs = performance.now()
for (const _ of makeKeepBlocks(db)());
const keptMs = performance.now()
const search = makeSearch(db)
const heapBytes = process.memoryUsage().arrayBuffers
search.summary({})
process.stdout.write(
  `Blocks made in ${Math.round(keptMs - beganMs)} ms, once; read back, with the first summary, in ` +
    `${Math.round(performance.now() - keptMs)} ms; ` +
    `${Math.round((process.memoryUsage().arrayBuffers - heapBytes) / 1e6)} MB.\n`,
)

/** The same filter with an end in time that asks for no less, so that no summary of it is kept yet. */
let asked = 0
function fresh<Q extends BendFilter>(filter: Q): Q {
  const endMs = filter.to === undefined ? Date.UTC(2100, 0, 1) : Date.parse(filter.to)
  // Bends start 20 s apart: an end that is less than 10 s earlier leaves out none of them.
  return { ...filter, to: new Date(endMs - (++asked % 10_000)).toISOString() }
}

for (const [name, query] of Object.entries(QUERIES)) {
  const { before: _before, limit: _limit, ...filter } = query
  const bare = bareSql(query)
  const bareFigures = bareSummary(query)
  // Nobody may be fast by giving something else.
  const { bends, total } = search.page(query)
  const expected = bare()
  expect(bends.map(({ id }) => id)).toEqual(expected.rows.map(({ id }) => id))
  expect(total).toBe(expected.total)

  describe(`${LIMIT} bends of ${BENDS}, ${name}`, () => {
    bench('page', () => void search.page(query), options)
    bench('page, its total not counted before', () => void search.page(fresh(query)), options)
    bench('bare SQL', () => void bare(), options)
    bench('summary, nothing kept', () => void search.summary(fresh(filter)), options)
    bench('bare SQL of its columns', () => void bareFigures(), options)
  })
}

/** Charts in steps, as the page asks for them; gives the longest step. */
function chartsOf(filter: BendFilter): { readonly points: number; readonly longestMs: number } {
  const steps = (function* () {
    return yield* bendChartSteps(
      yield* { [Symbol.iterator]: () => search.selectionSteps(fresh(filter)) },
    )
  })()
  let longestMs = 0
  for (;;) {
    const startMs = performance.now()
    const step = steps.next()
    longestMs = Math.max(longestMs, performance.now() - startMs)
    if (step.done) return { points: step.value.error?.points.length ?? 0, longestMs }
  }
}

const CHARTED: Readonly<Record<string, BendFilter>> = {
  everything: {},
  'the older half': { to: startOf(middle) },
  'one part': { part: 'Part 7' },
}

describe(`charts out of ${BENDS}, nothing kept`, () => {
  for (const [name, filter] of Object.entries(CHARTED)) {
    const longest = Array.from({ length: 9 }, () => chartsOf(filter).longestMs)
    process.stdout.write(
      `Charts of ${name}: the longest step ${quantile(longest, 0.5).toFixed(1)} ms (median of 9), ` +
        `${Math.max(...longest).toFixed(1)} ms at worst.\n`,
    )
    bench(`charts: ${name}`, () => void chartsOf(filter), options)
    const bare = bareSummary({ ...filter, limit: LIMIT })
    bench(`bare SQL of its columns: ${name}`, () => void bare(), options)
  }
})

describe(`what bare SQL cannot ask, of ${BENDS}`, () => {
  const hard: Readonly<Record<string, BendFilter>> = {
    'three words that never stand together': { text: 'rail 7 nobody' },
    'three words that stand in many': { text: 'part 7 stiff' },
    'undecided since a failed check': { undecidedSince: startOf(middle), from: startOf(middle) },
    'a die, one piece in ten verdicts, not void': {
      die: '38 rail',
      verdict: 'under',
      voided: 'no',
    },
    overdue: { readout: 'either' },
    'amended, signed, noted or not': { amended: 'no', signed: 'no', noted: 'no', voided: 'no' },
    'nothing fits, so that each condition is left out in turn': {
      ...{ part: 'Part 7', lot: 'L-1', verdict: 'over', operator: 'nobody', die: '38 rail' },
      ...{ text: 'rail', voided: 'no' },
    },
  }
  for (const [name, filter] of Object.entries(hard)) {
    bench(`page: ${name}`, () => void search.page({ ...fresh(filter), limit: LIMIT }), options)
    bench(`summary: ${name}`, () => void search.summary(fresh(filter)), options)
  }
})
