import { Compile } from 'typebox/compile'
import { type BendFilter, BendQuery } from '../messages/find.ts'
import { HistoryError } from './errors.ts'
import { dayEndMs, dayStartMs, daysBackMs, typedMs } from './iso-time.ts'

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

type TimeField = 'from' | 'to' | 'firstDay' | 'lastDay' | 'undecidedSince'

const TIME = 'a day or a time (ISO 8601)'
const DAY = 'a day such as 2026-01-31'

const TIMES: Readonly<
  Record<TimeField, readonly [read: (text: string) => number | null, wanted: string]>
> = {
  from: [typedMs, TIME],
  to: [typedMs, TIME],
  firstDay: [dayStartMs, DAY],
  lastDay: [dayEndMs, DAY],
  undecidedSince: [typedMs, TIME],
}

/** Bounds, milliseconds since 1970, for those fields of time that a filter gives: of the start, but the last of what was said. */
export type Bounds = Readonly<Partial<Record<TimeField | 'daysBack', number>>>

/**
 * @param nowMs The shop's clock, from which days are counted back.
 * @throws HistoryError `HISTORY_BAD_QUERY` naming the field.
 */
export function boundsOf(filter: BendFilter, nowMs: number): Bounds {
  const bounds: { -readonly [field in keyof Bounds]: Bounds[field] } = {}
  for (const [name, [read, wanted]] of Object.entries(TIMES)) {
    const field = name as TimeField
    const text = filter[field]
    if (text === undefined) continue
    bounds[field] = read(text) ?? refuse(`${field} must be ${wanted}, not "${text}"`)
  }
  if (filter.daysBack !== undefined) bounds.daysBack = daysBackMs(nowMs, filter.daysBack)
  return bounds
}
