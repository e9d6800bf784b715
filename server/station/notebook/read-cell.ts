import { isoWithOffset, typedMs } from '../../history/iso-time.ts'
import type { NotebookAsk } from '../../messages/notebook.ts'

type Style = Pick<NotebookAsk, 'decimal' | 'dates'>

const NUMBER = /^[+-]?\d{1,9}(\.\d{1,12})?$/

/** @returns null for what is no number. A sign of degree behind it is no matter, a thousands' mark is none. */
export function readNumber(cell: string, { decimal }: Style): number | null {
  const bare = cell.replace(/\s*(°|deg)$/i, '').replace('\u2212', '-')
  if (decimal === 'comma' && bare.includes('.')) return null
  const text = decimal === 'comma' ? bare.replace(',', '.') : bare
  return NUMBER.test(text) ? Number(text) : null
}

const DAY = /^(\d{1,4})[-./](\d{1,2})[-./](\d{1,4})(?:[T ]+(\d{1,2}:\d\d(?::\d\d)?))?$/
const two = (text: string) => text.padStart(2, '0')

/** The three numbers of a day as year, month, day. A year has four digits: of two nobody knows the century. */
function dayOf(numbers: readonly string[], dates: Style['dates']): string | null {
  const order = { 'year-first': [0, 1, 2], 'day-first': [2, 1, 0], 'month-first': [2, 0, 1] }[dates]
  const [year = '', month = '', day = ''] = order.map((place) => numbers[place] ?? '')
  if (!(year.length === 4 && month.length <= 2 && day.length <= 2)) return null
  return `${year}-${two(month)}-${two(day)}`
}

/** A time as records hold it; without an offset, in the shop's own time. @returns null for what is none. */
export function readTime(cell: string, { dates }: Style): string | null {
  const exact = typedMs(cell)
  if (exact !== null) return isoWithOffset(exact)
  const found = DAY.exec(cell)
  if (found === null) return null
  const [, first = '', second = '', third = '', time = '0:00'] = found
  const day = dayOf([first, second, third], dates)
  const [hour = '', ...rest] = time.split(':')
  const ms = day === null ? null : typedMs(`${day}T${[two(hour), ...rest].join(':')}`)
  return ms === null ? null : isoWithOffset(ms)
}
