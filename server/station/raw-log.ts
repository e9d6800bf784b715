import type { RawLine } from '../chain/raw-line.ts'
import type { RawRecord } from '../history/history.ts'
import { RAW_BYTES_MAX, RAW_LINES_MAX } from '../history/raw-text.ts'

/**
 * Lines kept between snapshots while no bend is open: 10 s at 200 Hz. A bend's raw record then begins 10 to
 * 20 s before the tube was bent; a datum that is older stands in the snapshot.
 */
const SEGMENT_LINES_MAX = 2000
/**
 * A record with more than the history takes would be lost, so a bend that is open for longer is closed before:
 * see `isFull`. A fifth is left for the batch in hand and the snapshot. 16 minutes at 200 Hz.
 */
const SHARE_MAX = 0.8
const BEND_LINES_MAX = SHARE_MAX * RAW_LINES_MAX
const BEND_BYTES_MAX = SHARE_MAX * RAW_BYTES_MAX
/** Arrival to the last bit, sender, tabs and line feed: what a line of the record has besides its text. */
const BESIDES_BYTES = 24

interface Segment {
  readonly snapshot: string
  readonly lines: RawLine[]
  bytes: number
}

export interface RawLog {
  add(line: RawLine): void
  /** Bounds the log between bends; call when no line is half treated. */
  trim(bendIsOpen: boolean, snapshot: () => string): void
  isFull(): boolean
  record(): RawRecord
}

/** `<arrivalS>\t<d|h>\t<text>`: a tab never stands in a printable line. */
export const formatRawLine = ({ arrivalS, from, text }: RawLine): string =>
  `${arrivalS}\t${from === 'device' ? 'd' : 'h'}\t${text}`

/** @returns null for a line that is not of this form. */
export function parseRawLine(line: string): RawLine | null {
  const [arrival, from, ...text] = line.split('\t')
  const arrivalS = Number(arrival)
  if (!Number.isFinite(arrivalS) || (from !== 'd' && from !== 'h')) return null
  return { arrivalS, from: from === 'd' ? 'device' : 'host', text: text.join('\t') }
}

const begin = (snapshot: string): Segment => ({ snapshot, lines: [], bytes: 0 })

/** Every line since a known state of the chain, so that a bend can be run again bit for bit. */
export function makeRawLog(chainText: string, firstSnapshot: string): RawLog {
  let older = begin(firstSnapshot)
  let newer = begin(firstSnapshot)
  return {
    add(line) {
      newer.lines.push(line)
      newer.bytes += line.text.length + BESIDES_BYTES
    },
    trim(bendIsOpen, snapshot) {
      if (bendIsOpen || newer.lines.length < SEGMENT_LINES_MAX) return
      const now = snapshot()
      const isAfterLongBend = newer.lines.length > 2 * SEGMENT_LINES_MAX
      older = isAfterLongBend ? begin(now) : newer
      newer = begin(now)
    },
    isFull: () =>
      older.lines.length + newer.lines.length >= BEND_LINES_MAX ||
      older.bytes + newer.bytes >= BEND_BYTES_MAX,
    record: () => ({
      chain: chainText,
      snapshot: older.snapshot,
      lines: [...older.lines, ...newer.lines].map(formatRawLine),
    }),
  }
}
