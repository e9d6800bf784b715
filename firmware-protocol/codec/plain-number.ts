import { readDecimal } from './decimal.ts'
import { MAX_LINE_BYTES } from './line-splitter.ts'
import type { RefusalReason } from './sentence.ts'

/** Where in the line the number stands. */
export interface NumberLayout {
  /** Counted from 1. */
  readonly column: number
  /** What stands between columns; not empty. */
  readonly separator: string
}

export type NumberDecoded =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly reason: RefusalReason }

const SPACES_ONLY = /^[ \t]*$/
/** Printable ASCII, and the tab that columns are often parted by. */
const PRINTABLE = /^[\t -~]*$/

/**
 * Reads one decimal number from a line: the whole line, or one of its columns. Spaces around it do not matter.
 * There is no checksum: a damaged digit is a wrong number, so this dialect is for trying out.
 */
export function decodeNumber(line: string, layout?: NumberLayout): NumberDecoded {
  if (line.length > MAX_LINE_BYTES) return { ok: false, reason: 'overlong' }
  if (!PRINTABLE.test(line)) return { ok: false, reason: 'not printable' }
  if (SPACES_ONLY.test(line)) return { ok: false, reason: 'empty' }
  const field = layout ? line.split(layout.separator)[layout.column - 1] : line
  if (field === undefined) return { ok: false, reason: 'wrong field count' }
  const value = readDecimal(field.trim())
  return Number.isNaN(value) ? { ok: false, reason: 'bad field' } : { ok: true, value }
}
