import { Compile } from 'typebox/compile'
import { BendQuery } from '../messages/bends.ts'
import { HistoryError } from './errors.ts'
import { typedMs } from './iso-time.ts'

/** What a person may filter by: a query without its place and size. */
export type BendFilter = Omit<BendQuery, 'before' | 'limit'>

type Index =
  | 'bend_by_id'
  | 'bend_by_part'
  | 'bend_by_lot'
  | 'bend_by_operator'
  | 'bend_by_verdict'
  | 'bend_by_start'

/** A filter as SQL: `where` is never empty, its values are bound by position. */
export interface Where {
  readonly where: string
  readonly values: readonly (string | number)[]
  /** Bends of every filter but time stand in the order of their numbers in this index. */
  readonly index: Index
  /** True if a range of time is all that the index above does not serve well. */
  readonly isByTime: boolean
  readonly isEverything: boolean
}

const bendQuery = Compile(BendQuery)

function refuse(what: string): never {
  throw new HistoryError('HISTORY_BAD_QUERY', { what })
}

/** @throws HistoryError `HISTORY_BAD_QUERY` naming the field. */
export function checkQuery(query: BendQuery): void {
  if (bendQuery.Check(query)) return
  const error = bendQuery.Errors(query).at(-1)
  refuse(`${error?.instancePath.slice(1) || 'the query'} ${error?.message ?? 'has another shape'}`)
}

function boundMs(name: 'from' | 'to', text: string): number {
  return typedMs(text) ?? refuse(`${name} must be a day or a time (ISO 8601), got "${text}"`)
}

/** The columns that one index each serves, the one that leaves the fewest bends first. */
const EQUAL = ['lot', 'part', 'operator', 'verdict'] as const

/** @throws HistoryError `HISTORY_BAD_QUERY` naming the field. */
export function whereOf(filter: BendFilter): Where {
  const given = EQUAL.flatMap((name) => {
    const value = filter[name]
    return value === undefined ? [] : [{ name, value }]
  })
  const conditions = given.map(({ name }) => `${name} = ?`)
  const values: (string | number)[] = given.map(({ value }) => value)
  if (filter.from !== undefined) {
    conditions.push('started_ms >= ?')
    values.push(boundMs('from', filter.from))
  }
  if (filter.to !== undefined) {
    conditions.push('started_ms < ?')
    values.push(boundMs('to', filter.to))
  }
  const first = given[0]?.name
  return {
    where: conditions.length === 0 ? 'TRUE' : conditions.join(' AND '),
    values,
    index: first === undefined ? 'bend_by_id' : `bend_by_${first}`,
    isByTime: conditions.length > given.length && (first === undefined || first === 'verdict'),
    isEverything: conditions.length === 0,
  }
}
