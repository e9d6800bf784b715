import type { Database } from 'better-sqlite3'
import type { BendPage, BendQuery, BendRow } from '../messages/bends.ts'
import { makeCounter } from './counter.ts'
import { checkQuery, type Where, whereOf } from './filter.ts'
import { makeMarks } from './marks.ts'
import { listRowOf } from './record.ts'

/**
 * Up to so many bends of a range of time are found by time and then sorted by number, in some 10 ms;
 * of more it is quicker to walk the numbers downwards and look at the time.
 */
const SORTED_MAX = 20_000

interface Listed {
  readonly id: number
  readonly record: string
}

/** Makes the function that gives one page of the list, newest first. */
export function makePages(db: Database): (query: BendQuery) => BendPage {
  const total = makeCounter(db)
  const marks = makeMarks(db)

  function marked(rows: readonly Listed[]): BendRow[] {
    const done = marks(rows.map(({ id }) => id))
    return rows.map(({ id, record }) => {
      const one = done.get(id)
      return { ...listRowOf(record), ...(one && { marks: one }) }
    })
  }

  function isShortRange({ where, values }: Where): boolean {
    const found = db.prepare<unknown[], number>(`
      SELECT count(*) FROM
        (SELECT 1 FROM bend INDEXED BY bend_by_start WHERE ${where} LIMIT ${SORTED_MAX + 1})`)
    return (found.pluck().get(...values) ?? 0) <= SORTED_MAX
  }

  function listed(filter: Where, before: number, limit: number): Listed[] {
    const index = filter.isByTime && isShortRange(filter) ? 'bend_by_start' : filter.index
    // The numbers come from the narrow index, and only as many wide rows as the page shows are read.
    const rows = db.prepare<unknown[], Listed>(`
      SELECT bend.id, bend.record FROM
        (SELECT id FROM bend INDEXED BY ${index} WHERE ${filter.where} AND id < ?
          ORDER BY id DESC LIMIT ?) AS found
      CROSS JOIN bend ON bend.id = found.id ORDER BY bend.id DESC`)
    return rows.all(...filter.values, before, limit)
  }

  return function page(query) {
    checkQuery(query)
    const { before = Number.MAX_SAFE_INTEGER, limit, ...filter } = query
    const where = whereOf(filter)
    // One more than asked for tells whether there is another page.
    const rows = listed(where, before, limit + 1)
    const shown = rows.slice(0, limit)
    return {
      bends: marked(shown),
      nextBefore: rows.length > limit ? (shown.at(-1)?.id ?? null) : null,
      total: total(where),
    }
  }
}
