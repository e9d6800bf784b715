import { readDecimal } from './decimal.ts'
import { MAX_LINE_BYTES } from './line-splitter.ts'
import type { RefusalReason } from './sentence.ts'

export type NumberDecoded =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly reason: RefusalReason }

const SPACES_ONLY = /^[ \t]*$/
/** Printable ASCII, and the tab that some sketches pad with. */
const PRINTABLE = /^[\t -~]*$/

/**
 * Reads a line that is one decimal number; spaces around it do not matter. There is no checksum: a damaged
 * digit is a wrong number, so this dialect is for trying out.
 */
export function decodeNumber(line: string): NumberDecoded {
  if (line.length > MAX_LINE_BYTES) return { ok: false, reason: 'overlong' }
  if (!PRINTABLE.test(line)) return { ok: false, reason: 'not printable' }
  if (SPACES_ONLY.test(line)) return { ok: false, reason: 'empty' }
  const value = readDecimal(line.trim())
  return Number.isNaN(value) ? { ok: false, reason: 'bad field' } : { ok: true, value }
}
