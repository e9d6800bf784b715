const MS_PER_MINUTE = 60_000

/** Date, time to the second or finer, and the offset: what a record holds (RFC 3339). */
const EXACT = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,9})?(Z|[+-]\d\d:\d\d)$/
/** What a person may type: a day, or a day and a time, with or without an offset. */
const TYPED = /^\d{4}-\d\d-\d\d(T\d\d:\d\d(:\d\d(\.\d{1,9})?)?(Z|[+-]\d\d:\d\d)?)?$/

const two = (value: number) => String(Math.floor(value)).padStart(2, '0')

/** Milliseconds since 1970 as local time with its offset: 2026-03-02T09:30:00.000+01:00. */
export function isoWithOffset(wallMs: number): string {
  const offsetMin = -new Date(wallMs).getTimezoneOffset()
  const local = new Date(wallMs + offsetMin * MS_PER_MINUTE).toISOString().slice(0, -1)
  const sign = offsetMin < 0 ? '-' : '+'
  const size = Math.abs(offsetMin)
  return `${local}${sign}${two(size / 60)}:${two(size % 60)}`
}

/** Milliseconds since 1970 of a time with offset; null if it is none. */
export function exactMs(text: string): number | null {
  return EXACT.test(text) ? parsedMs(text) : null
}

/** The same for what a person types: a bare day begins at midnight; without an offset, local time. */
export function typedMs(text: string): number | null {
  if (!TYPED.test(text)) return null
  return parsedMs(text.includes('T') ? text : `${text}T00:00`)
}

/** Date.parse takes 31 February for 3 March; nobody who types it means that. */
function isDayOfCalendar(text: string): boolean {
  const [year = 0, month = 0, day = 0] = text.slice(0, 10).split('-').map(Number)
  return new Date(Date.UTC(year, month - 1, day)).getUTCDate() === day
}

function parsedMs(text: string): number | null {
  const ms = isDayOfCalendar(text) ? Date.parse(text) : Number.NaN
  return Number.isFinite(ms) ? ms : null
}

const DAY = /^\d{4}-\d\d-\d\d$/

/** The first moment of a day of the local calendar, milliseconds since 1970; null if it is no day. */
export const dayStartMs = (text: string): number | null => (DAY.test(text) ? typedMs(text) : null)

/** The first moment after a day of the local calendar, whether it had 23, 24 or 25 hours. */
export function dayEndMs(text: string): number | null {
  const startMs = dayStartMs(text)
  if (startMs === null) return null
  const start = new Date(startMs)
  return new Date(start.getFullYear(), start.getMonth(), start.getDate() + 1).getTime()
}

/** The first moment of the last `days` days of the local calendar, the one of `wallMs` being the last of them. */
export function daysBackMs(wallMs: number, days: number): number {
  const today = new Date(wallMs)
  return new Date(today.getFullYear(), today.getMonth(), today.getDate() - days + 1).getTime()
}
