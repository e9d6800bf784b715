import type { Database } from 'better-sqlite3'
import type {
  BendFilter,
  BendPage,
  BendQuery,
  BendSummary,
  ExportFormat,
  KnownNames,
} from '../../messages/find.ts'
import { makeActsOn } from '../act-log.ts'
import { csvOf, jsonOf } from '../export.ts'
import { checkQuery } from '../filter.ts'
import type { SelectedBends } from '../history.ts'
import { byNumber, everyBend } from '../reading.ts'
import { makeAsk } from './ask.ts'
import type { Condition } from './conditions.ts'
import { makeFoundRows } from './found-rows.ts'
import type { FindIndex } from './index.ts'
import { idsOf, knownNames, selectionSteps } from './selection.ts'
import { countOf, summaryOf } from './summary.ts'
import { walkBlocks } from './walk.ts'

/** Filters for which a figure is kept; the one not asked for longest goes first. */
const FILTERS_KEPT_MAX = 64

type Figure<T> = (index: FindIndex, conditions: readonly Condition[]) => T

/** Makes the function that gives a figure of a filter, and keeps it for as long as the history stays as it is. */
function makeKept<T>(figureOf: Figure<T>) {
  const kept = new Map<string, { readonly version: string; readonly figure: T }>()
  return function keptFor(
    filter: BendFilter,
    index: FindIndex,
    conditions: readonly Condition[],
  ): T {
    const key = JSON.stringify(filter)
    const { version } = index
    const known = kept.get(key)
    const figure = known?.version === version ? known.figure : figureOf(index, conditions)
    kept.delete(key)
    kept.set(key, { version, figure })
    const oldest = kept.keys().next().value
    if (kept.size > FILTERS_KEPT_MAX && oldest !== undefined) kept.delete(oldest)
    return figure
  }
}

type Paging = Pick<BendQuery, 'order' | 'before' | 'after' | 'limit'>

/** The numbers of one page, and one more where there is another. */
function pageIds(index: FindIndex, conditions: readonly Condition[], paging: Paging): number[] {
  const { order, before = Number.MAX_SAFE_INTEGER, after = 0, limit } = paging
  const isNewestFirst = order !== 'oldest'
  const ids: number[] = []
  const way = { first: after + 1, last: before - 1, isNewestFirst }
  walkBlocks(index, conditions, way, (block, rows, count) => {
    for (let i = 0; i < count && ids.length <= limit; i += 1)
      ids.push(block.first + (rows[isNewestFirst ? count - 1 - i : i] ?? 0))
    return ids.length <= limit
  })
  return ids
}

/**
 * Finds bends: a page of the list, a summary, a selection. Every bad filter is `HISTORY_BAD_QUERY`.
 *
 * @param wallMs The shop's clock, milliseconds since 1970.
 */
export function makeSearch(db: Database, wallMs?: () => number) {
  const ask = makeAsk(db, wallMs)
  const foundRows = makeFoundRows(db)
  const actsOn = makeActsOn(db)
  // A page waits for the count, and for nothing else of what a summary says.
  const totalFor = makeKept(countOf)
  const summaryFor = makeKept(summaryOf)

  return {
    page(query: BendQuery): BendPage {
      checkQuery(query)
      const { order, before: _before, after: _after, limit, ...filter } = query
      const { index, conditions } = ask(filter)
      const ids = pageIds(index, conditions, query)
      const shown = ids.slice(0, limit)
      const key = ids.length > limit ? (shown.at(-1) ?? null) : null
      return {
        bends: foundRows(index, shown),
        nextBefore: order === 'oldest' ? null : key,
        nextAfter: order === 'oldest' ? key : null,
        total: totalFor(filter, index, conditions),
      }
    },
    summary(filter: BendFilter): BendSummary {
      const { index, conditions } = ask(filter)
      return summaryFor(filter, index, conditions)
    },
    /** Every bend that fits, oldest first. */
    exported(filter: BendFilter, format: ExportFormat): Generator<string> {
      const { index, conditions } = ask(filter)
      const isAll = Object.keys(filter).length === 0
      const bends = isAll ? everyBend(db) : byNumber(db, idsOf(index, conditions))
      return format === 'json' ? jsonOf(bends, actsOn) : csvOf(bends, true, actsOn)
    },
    selectionSteps(filter: BendFilter): Iterator<void, SelectedBends> {
      const { index, conditions } = ask(filter)
      return selectionSteps(index, conditions)
    },
    knownNames: (): KnownNames => knownNames(ask({}).index),
  }
}
