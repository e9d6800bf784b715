import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import type { History } from '../../../../server/history/history.ts'
import { VERDICTS } from '../../../../server/messages/bends.ts'
import type { BendQuery, FoundRow } from '../../../../server/messages/find.ts'
import { makeFolder, newBend, openShop, rawOf, refusalOf } from './shop.ts'

// Every append waits for the disk, and a busy one takes its time.
vi.setConfig({ testTimeout: 60_000 })

const BENDS = 120
const { dir, remove } = makeFolder()
let history: History
let all: FoundRow[]

/** Starts that go backwards now and then, as a clock does that is set. */
const startOf = (n: number) =>
  new Date(Date.UTC(2026, 2, 1) + (n % 7 === 0 ? n - 30 : n) * 3_600_000).toISOString()

beforeAll(() => {
  history = openShop(dir)
  for (let n = 1; n <= BENDS; n += 1) {
    const verdict = VERDICTS[n % 4]!
    history.append(newBend(n, { verdict, startedAt: startOf(n) }), rawOf(n))
  }
  all = history.page({ limit: 500 }).bends
})
afterAll(() => {
  history.close()
  remove()
})

/** What a page must be, by the plainest means. */
type Simple = Pick<
  BendQuery,
  'before' | 'limit' | 'from' | 'to' | 'part' | 'lot' | 'operator' | 'verdict'
>

function expected({ before = Infinity, limit, from, to, ...equal }: Simple) {
  const names = Object.keys(equal) as (keyof typeof equal)[]
  const fitting = all.filter(
    (bend) =>
      names.every((name) => bend[name] === equal[name]) &&
      (from === undefined || Date.parse(bend.startedAt) >= Date.parse(from)) &&
      (to === undefined || Date.parse(bend.startedAt) < Date.parse(to)),
  )
  const older = fitting.filter((bend) => bend.id < before)
  const bends = older.slice(0, limit)
  const nextBefore = older.length > limit ? bends.at(-1)!.id : null
  return { bends, nextBefore, nextAfter: null, total: fitting.length }
}

test('the newest come first, and a row is the bend in short', () => {
  const { bends, total, nextBefore } = history.page({ limit: 2 })
  expect(bends.map(({ id }) => id)).toEqual([BENDS, BENDS - 1])
  expect(total).toBe(BENDS)
  expect(nextBefore).toBe(BENDS - 1)
  const whole = history.bend(BENDS)!
  expect(whole).toMatchObject(bends[0]!)
  expect(Object.keys(bends[0]!)).toHaveLength(17)
})

test('walking the pages meets every bend once', () => {
  const met: number[] = []
  let before: number | null = null
  do {
    const page = history.page({ limit: 7, ...(before !== null && { before }) })
    met.push(...page.bends.map(({ id }) => id))
    before = page.nextBefore
  } while (before !== null)
  expect(met).toEqual(Array.from({ length: BENDS }, (_, i) => BENDS - i))
})

test('any filter gives what filtering by hand gives (seed 41)', () => {
  const time = fc.integer({ min: -10, max: 140 }).map(startOf)
  const query = fc.record(
    {
      limit: fc.integer({ min: 1, max: 60 }),
      before: fc.integer({ min: 1, max: 130 }),
      part: fc.constantFrom('Rail', 'Ladder', 'Nothing'),
      lot: fc.constantFrom('L-1', 'L-9'),
      operator: fc.constantFrom('Operator 1', 'Operator 2', 'nobody'),
      verdict: fc.constantFrom(...VERDICTS),
      from: time,
      to: time,
    },
    { requiredKeys: ['limit'] },
  )
  fc.assert(
    fc.property(query, (asked) => {
      expect(history.page(asked)).toEqual(expected(asked))
    }),
    { seed: 41, numRuns: 200 },
  )
})

test('a total counts what came since it was last asked for', () => {
  const query = { limit: 1, part: 'Rail' }
  const other = makeFolder()
  const growing = openShop(other.dir, 10)
  expect(growing.page(query).total).toBe(5)
  for (let n = 11; n <= 20; n += 1) growing.append(newBend(n), rawOf(n))
  expect(growing.page(query).total).toBe(10)
  expect(growing.page(query).total).toBe(10)
  growing.close()
  other.remove()
})

test('totals stay right when more filters are asked for than are kept', () => {
  for (let round = 0; round < 2; round += 1)
    for (let n = 1; n <= 100; n += 1)
      expect(history.page({ limit: 1, to: startOf(n) }).total).toBe(
        expected({ limit: 1, to: startOf(n) }).total,
      )
})

test('text with quotes, percent signs and NUL is looked for as it is', () => {
  const other = makeFolder()
  const odd = openShop(other.dir)
  const parts = ["O'Rail", '100 %', '"; DROP TABLE bend', 'nul\u0000l', 'ra_l', '=1+1']
  parts.forEach((part, i) => {
    const n = i + 1
    odd.append(newBend(n, { job: { ...newBend(n).job, part } }), rawOf(n))
  })
  for (const part of parts) {
    const { bends, total } = odd.page({ limit: 10, part })
    expect(bends.map((bend) => bend.part)).toEqual([part])
    expect(total).toBe(1)
  }
  odd.close()
  other.remove()
})

describe('times', () => {
  test('are compared as instants, whatever their offset', () => {
    const total = (from: string) => history.page({ limit: 1, from }).total
    expect(total('2026-03-02T00:00:00Z')).toBe(total('2026-03-02T05:30:00+05:30'))
    expect(total('2026-03-02T00:00:00Z')).toBe(total('2026-03-01T19:00:00-05:00'))
  })

  test('a bare day begins at local midnight', () => {
    const midnight = new Date(2026, 2, 3).toISOString()
    expect(history.page({ limit: 500, from: '2026-03-03' })).toEqual(
      history.page({ limit: 500, from: midnight }),
    )
  })
})

describe('what cannot be asked is refused, naming the field', () => {
  test.each<[object, string]>([
    [{}, 'limit'],
    [{ limit: 0 }, 'limit'],
    [{ limit: 501 }, 'limit'],
    [{ limit: 1.5 }, 'limit'],
    [{ limit: Number.NaN }, 'limit'],
    [{ limit: '5' }, 'limit'],
    [{ limit: 5, before: 0 }, 'before'],
    [{ limit: 5, verdict: 'fine' }, 'verdict'],
    [{ limit: 5, part: 'x'.repeat(81) }, 'part'],
    [{ limit: 5, part: 7 }, 'part'],
    [{ limit: 5, from: 'yesterday' }, 'from'],
    [{ limit: 5, to: '2026-13-01' }, 'to'],
    [{ limit: 5, to: '2026-02-30' }, 'to'],
    [{ limit: 5, to: '' }, 'to'],
    [{ limit: 5, colour: 'red' }, 'query'],
  ])('%j', (query, names) => {
    const refusal = refusalOf(() => history.page(query as BendQuery))
    expect(refusal.code).toBe('HISTORY_BAD_QUERY')
    expect(refusal.message).toContain(names)
  })
})
