import type { Database } from 'better-sqlite3'
import type { Where } from './filter.ts'

/** Filters whose count is kept; the one not asked for longest goes first. */
const FILTERS_KEPT_MAX = 64

interface Counted {
  readonly upToId: number
  readonly count: number
}

/**
 * Makes the function that counts the bends that fit. What was counted once never changes, since the
 * history only grows at its end: the next count adds the bends that came since.
 */
export function makeCounter(db: Database): (filter: Where) => number {
  const lastId = db.prepare<[], number>('SELECT coalesce(max(id), 0) FROM bend').pluck()
  const kept = new Map<string, Counted>()

  function countSince({ where, values, index, isByTime }: Where, from: Counted, upToId: number) {
    // Before anything was counted, a range of time is best counted by time.
    const by = isByTime && from.upToId === 0 ? 'bend_by_start' : index
    const since = db.prepare<unknown[], number>(
      `SELECT count(*) FROM bend INDEXED BY ${by} WHERE ${where} AND id > ? AND id <= ?`,
    )
    return from.count + (since.pluck().get(...values, from.upToId, upToId) ?? 0)
  }

  return function count(filter) {
    const upToId = lastId.get() ?? 0
    if (filter.isEverything) return upToId
    const key = JSON.stringify([filter.where, filter.values])
    const before = kept.get(key) ?? { upToId: 0, count: 0 }
    const now =
      before.upToId === upToId ? before : { upToId, count: countSince(filter, before, upToId) }
    kept.delete(key)
    kept.set(key, now)
    const oldest = kept.keys().next().value
    if (kept.size > FILTERS_KEPT_MAX && oldest !== undefined) kept.delete(oldest)
    return now.count
  }
}
