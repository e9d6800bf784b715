import { createHash } from 'node:crypto'
import { deflateSync, inflateSync } from 'node:zlib'
import { HistoryError } from './errors.ts'
import type { RawRecord } from './history.ts'

/**
 * Most lines one bend may keep: twenty minutes at 200 Hz. Above it nothing is dropped silently: the
 * record is refused, and whoever collects the lines decides which to leave out.
 */
export const RAW_LINES_MAX = 240_000
/** Most bytes of the lines' text: the same lines at 64 bytes each. */
export const RAW_BYTES_MAX = 16 * 1024 * 1024

/**
 * Level of zlib (RFC 1950), chosen over brotli because every language reads it in decades to come. On
 * 160 kB of a noisy 200 Hz bend level 3 took 3.6 ms and gave 40 %; level 6 twice the time for 37 %.
 */
const DEFLATE_LEVEL = 3

export interface PackedRaw {
  readonly packed: Buffer
  readonly lines: number
  /** SHA-256 of the text before packing, hexadecimal. */
  readonly sha256: string
}

const sha256Of = (text: Buffer) => createHash('sha256').update(text).digest('hex')

/** One JSON line that says where the chain stood, then the lines, each ended by a line feed. */
function textOf({ chain, snapshot, lines }: RawRecord): string {
  return `${[JSON.stringify({ chain, snapshot }), ...lines].join('\n')}\n`
}

function refuse(what: string): never {
  throw new HistoryError('HISTORY_BAD_RAW', { what })
}

/** @throws HistoryError `HISTORY_BAD_RAW`: too many lines or bytes, a line feed in a line, no Unicode. */
export function packRaw(raw: RawRecord): PackedRaw {
  const lines = raw.lines.length
  if (!(lines <= RAW_LINES_MAX)) refuse(`${lines} lines are more than ${RAW_LINES_MAX}`)
  const badLine = raw.lines.findIndex((line) => line.includes('\n'))
  if (badLine >= 0) refuse(`line ${badLine + 1} holds a line feed`)
  const text = textOf(raw)
  const bytes = Buffer.from(text, 'utf8')
  if (!(bytes.length <= RAW_BYTES_MAX))
    refuse(`${bytes.length} bytes are more than ${RAW_BYTES_MAX}`)
  if (bytes.toString('utf8') !== text) refuse('they hold a lone surrogate, which is no Unicode')
  return { packed: deflateSync(bytes, { level: DEFLATE_LEVEL }), lines, sha256: sha256Of(bytes) }
}

function unpack(packed: Buffer): Buffer {
  // The bound keeps a forged row from filling the memory.
  return inflateSync(packed, { maxOutputLength: RAW_BYTES_MAX })
}

/** @throws Error if the bytes are no packed raw record. */
export function unpackRaw(packed: Buffer): RawRecord {
  const [head = '', ...lines] = unpack(packed).toString('utf8').split('\n')
  const { chain, snapshot } = JSON.parse(head) as { chain: string; snapshot: string }
  return { chain, snapshot, lines: lines.slice(0, -1) }
}

function lineFeedsIn(bytes: Buffer): number {
  let count = 0
  for (let at = bytes.indexOf('\n'); at >= 0; at = bytes.indexOf('\n', at + 1)) count += 1
  return count
}

/** What the packed bytes hold, for a check against the record; null if they cannot be unpacked. */
export function measureRaw(packed: Buffer): Pick<PackedRaw, 'lines' | 'sha256'> | null {
  try {
    const bytes = unpack(packed)
    return { lines: lineFeedsIn(bytes) - 1, sha256: sha256Of(bytes) }
  } catch {
    return null
  }
}
