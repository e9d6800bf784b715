import { readDecimal } from './decimal.ts'
import { MAX_LINE_BYTES } from './line-splitter.ts'
import type { RefusalReason } from './sentence.ts'

/** What stands between the columns of a line; `space` is any run of spaces and tabs. */
export const SEPARATORS = ['none', 'comma', 'semicolon', 'tab', 'space'] as const
export type Separator = (typeof SEPARATORS)[number]

export type ColumnsDecoded =
  | { readonly ok: true; readonly cells: readonly string[] }
  | { readonly ok: false; readonly reason: RefusalReason }

const PRINTABLE = /^[\t -~]*$/
const MARKS = { none: null, comma: ',', semicolon: ';', tab: '\t', space: /[ \t]+/ } as const

/**
 * Cuts a line into its columns, spaces around each taken off. There is no checksum: a damaged digit is a wrong
 * number, so this dialect is for trying out and for sensors that know no better.
 */
export function splitColumns(line: string, separator: Separator): ColumnsDecoded {
  if (line.length > MAX_LINE_BYTES) return { ok: false, reason: 'overlong' }
  if (!PRINTABLE.test(line)) return { ok: false, reason: 'not printable' }
  const text = separator === 'tab' ? line : line.trim()
  if (text.trim() === '') return { ok: false, reason: 'empty' }
  const mark = MARKS[separator]
  const cells = mark === null ? [text] : text.split(mark).map((cell) => cell.trim())
  return { ok: true, cells }
}

/**
 * The number in one column.
 *
 * @param column From 1.
 * @returns null for an empty cell, which is no valid reading; NaN for a cell that is no number, and for a
 *   column that the line does not have.
 */
export function readCell(cells: readonly string[], column: number): number | null {
  const cell = cells[column - 1]
  if (cell === undefined) return Number.NaN
  return cell === '' ? null : readDecimal(cell)
}
