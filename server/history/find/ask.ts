import type { Database } from 'better-sqlite3'
import type { BendFilter } from '../../messages/find.ts'
import { checkQuery } from '../filter.ts'
import { daysBackMs } from '../iso-time.ts'
import { makeBendsSaid } from './acts.ts'
import { type Condition, conditionsOf } from './conditions.ts'
import { type FindIndex, makeFindIndex } from './index.ts'
import { idsOf } from './selection.ts'

interface Asked {
  readonly index: FindIndex
  readonly conditions: readonly Condition[]
}

/**
 * Makes the function that reads a filter against the history as it stands. A bad one is `HISTORY_BAD_QUERY`.
 *
 * @param wallMs The shop's clock, milliseconds since 1970.
 */
export function makeAsk(
  db: Database,
  wallMs: () => number = Date.now,
): (filter: BendFilter) => Asked {
  const indexNow = makeFindIndex(db)
  const bendsSaid = makeBendsSaid(db)
  return function ask(filter) {
    checkQuery({ ...filter, limit: 1 })
    const index = indexNow()
    const nowMs = wallMs()
    // What days counted back find is another thing after midnight, though nothing was recorded.
    const version = `${index.version} ${daysBackMs(nowMs, 1)}`
    return {
      index: { ...index, version },
      conditions: conditionsOf(filter, index, bendsSaid, nowMs),
    }
  }
}

/** The numbers of all bends that fit, oldest first; of a file of any schema. */
export function idsThatFit(db: Database, filter: BendFilter): number[] {
  const { index, conditions } = makeAsk(db)(filter)
  return idsOf(index, conditions)
}
