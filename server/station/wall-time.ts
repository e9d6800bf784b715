const two = (value: number): string => String(Math.abs(value)).padStart(2, '0')

/** ISO 8601 with milliseconds and the offset of the machine's own zone, as a reviewer will read it. */
export function isoWithOffset(wallMs: number): string {
  const date = new Date(wallMs)
  const offsetMin = -date.getTimezoneOffset()
  const local = new Date(wallMs + offsetMin * 60_000).toISOString().slice(0, -1)
  const sign = offsetMin < 0 ? '-' : '+'
  return `${local}${sign}${two(Math.trunc(offsetMin / 60))}:${two(offsetMin % 60)}`
}
