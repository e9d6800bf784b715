/** What the history is filtered by: the text as typed. */
const FILTERS = ['part', 'lot', 'operator', 'verdict', 'from', 'to'] as const
export type Filter = (typeof FILTERS)[number]
export type Filters = Readonly<Record<Filter, string>>

export const NO_FILTERS: Filters = {
  part: '',
  lot: '',
  operator: '',
  verdict: '',
  from: '',
  to: '',
}

const ROWS = 50

/** A day of the reader's own calendar begins at its midnight; `to` includes its whole day. */
function midnight(day: string, daysLater: number): string | null {
  const [year, month, date] = day.split('-').map(Number)
  if (year === undefined || month === undefined || date === undefined) return null
  const at = new Date(year, month - 1, date + daysLater)
  return Number.isNaN(at.getTime()) ? null : at.toISOString()
}

/** The query of one page of history. `before` null: the newest. */
export function queryOf(filters: Filters, before: number | null): URLSearchParams {
  const query = new URLSearchParams({ limit: String(ROWS) })
  if (before !== null) query.set('before', String(before))
  for (const name of FILTERS) {
    const text = filters[name].trim()
    if (text === '') continue
    const value = name === 'from' ? midnight(text, 0) : name === 'to' ? midnight(text, 1) : text
    if (value !== null) query.set(name, value)
  }
  return query
}
