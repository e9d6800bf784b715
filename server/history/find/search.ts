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
import { summaryOf } from './summary.ts'
import { walkBlocks } from './walk.ts'

/** Summaries that are kept; the one not asked for longest goes first. */
const SUMMARIES_KEPT_MAX = 64

/** Summaries of filters, each good for one state of the history. */
function makeSummaries() {
  const kept = new Map<string, { readonly version: string; readonly summary: BendSummary }>()
  return function summaryFor(
    filter: BendFilter,
    index: FindIndex,
    conditions: readonly Condition[],
  ): BendSummary {
    const key = JSON.stringify(filter)
    const { version } = index
    const known = kept.get(key)
    const summary = known?.version === version ? known.summary : summaryOf(index, conditions)
    kept.delete(key)
    kept.set(key, { version, summary })
    const oldest = kept.keys().next().value
    if (kept.size > SUMMARIES_KEPT_MAX && oldest !== undefined) kept.delete(oldest)
    return summary
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
  const summaryFor = makeSummaries()

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
        total: summaryFor(filter, index, conditions).total,
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
