import type { RawLine } from '../chain/raw-line.ts'
import type { RawRecord } from '../history/history.ts'

/**
 * Lines kept between snapshots while no bend is open: 10 s at 200 Hz. A bend's raw record then begins 10 to
 * 20 s before its datum, so that every filter had time to settle where it stood.
 */
const SEGMENT_LINES_MAX = 2000
/** 25 minutes at 200 Hz. A bend open for longer is closed by the station: see `isFull`. */
const BEND_LINES_MAX = 300_000

interface Segment {
  readonly snapshot: string
  readonly lines: RawLine[]
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

/** Every line since a known state of the chain, so that a bend can be run again bit for bit. */
export function makeRawLog(chainText: string, firstSnapshot: string): RawLog {
  let older: Segment = { snapshot: firstSnapshot, lines: [] }
  let newer: Segment = { snapshot: firstSnapshot, lines: [] }
  return {
    add(line) {
      newer.lines.push(line)
    },
    trim(bendIsOpen, snapshot) {
      if (bendIsOpen || newer.lines.length < SEGMENT_LINES_MAX) return
      const now = snapshot()
      const isAfterLongBend = newer.lines.length > 2 * SEGMENT_LINES_MAX
      older = isAfterLongBend ? { snapshot: now, lines: [] } : newer
      newer = { snapshot: now, lines: [] }
    },
    isFull: () => older.lines.length + newer.lines.length >= BEND_LINES_MAX,
    record: () => ({
      chain: chainText,
      snapshot: older.snapshot,
      lines: [...older.lines, ...newer.lines].map(formatRawLine),
    }),
  }
}
