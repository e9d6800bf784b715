import { isoWithOffset } from '../../history/iso-time.ts'
import type { TapItem } from './tap.ts'

/** RFC 4180, section 2: rows end with CR LF; what holds a comma, a quote or an end of line is quoted. */
export const ROW_END = '\r\n'

const field = (text: string) => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text)

const row = (fields: readonly string[]) => `${fields.map(field).join(',')}${ROW_END}`

/** The first row: what stands in each column, with its unit. */
export const csvHeader = (name: string, unit: string): string =>
  row(['time (s)', 'time (ISO 8601)', `${name} (${unit})`, 'quality', 'event', 'facts'])

/** One row: a value or an event. Numbers have a decimal point and all their digits. */
export function csvRow(item: TapItem, wallMsAt: (timeS: number) => number): string {
  const times = [String(item.timeS), isoWithOffset(wallMsAt(item.timeS))]
  if (item.type === 'event') return row([...times, '', '', item.event, JSON.stringify(item.facts)])
  return row([...times, item.value === null ? '' : String(item.value), item.quality, '', ''])
}
