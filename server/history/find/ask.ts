import type { Database } from 'better-sqlite3'
import type { BendFilter } from '../../messages/find.ts'
import { checkQuery } from '../filter.ts'
import { makeBendsSaid } from './acts.ts'
import { type Condition, conditionsOf } from './conditions.ts'
import { type FindIndex, makeFindIndex } from './index.ts'
import { idsOf } from './selection.ts'

interface Asked {
  readonly index: FindIndex
  readonly conditions: readonly Condition[]
}

/** Makes the function that reads a filter against the history as it stands. A bad one is `HISTORY_BAD_QUERY`. */
export function makeAsk(db: Database): (filter: BendFilter) => Asked {
  const indexNow = makeFindIndex(db)
  const bendsSaid = makeBendsSaid(db)
  return function ask(filter) {
    checkQuery({ ...filter, limit: 1 })
    const index = indexNow()
    return { index, conditions: conditionsOf(filter, index, bendsSaid) }
  }
}

/** The numbers of all bends that fit, oldest first; of a file of any schema. */
export function idsThatFit(db: Database, filter: BendFilter): number[] {
  const { index, conditions } = makeAsk(db)(filter)
  return idsOf(index, conditions)
}
