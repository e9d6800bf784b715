import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { MAX_LINE_BYTES } from '../../firmware-protocol/codec/line-splitter.ts'

/** One line of a replayed file. */
export interface ReplayLine {
  /** As recorded; null for a plain line, which does not say. */
  readonly recordedS: number | null
  readonly from: 'device' | 'host'
  readonly text: string
}

/** `<arrivalS>\t<d|h>\t<text>`, as in a bend's raw record. */
const RECORDED = /^(\d+(?:\.\d+)?(?:e[+-]?\d+)?)\t([dh])\t(.*)$/

/** @returns null for an empty line, and for one whose text is longer than a line may be. */
export function readReplayLine(line: string): ReplayLine | null {
  const match = RECORDED.exec(line)
  const text = match?.[3] ?? line
  if (!(text.length >= 1 && text.length <= MAX_LINE_BYTES)) return null
  if (!match) return { recordedS: null, from: 'device', text }
  return { recordedS: Number(match[1]), from: match[2] === 'h' ? 'host' : 'device', text }
}

/** Plain lines that tell no time are given at the native protocol's usual rate. */
const PLAIN_SPACING_S = 1 / 200
const TICK_WRAP = 2 ** 32
/** A longer step is a reset of the board or a hole in the file: nobody wants to sit through it. */
const STEP_MAX_S = 60

/**
 * Puts recorded times on the station's clock, from `startS` on. Lines without a time follow the tick of their
 * samples, or else come evenly. Time never goes back.
 */
export function makeReplayClock(startS: number): (line: ReplayLine) => number {
  let nowS = startS
  let firstRecordedS: number | null = null
  let lastTickUs: number | null = null

  return function arrivalOf({ recordedS, text }) {
    if (recordedS !== null) {
      firstRecordedS ??= recordedS
      nowS = Math.max(nowS, startS + recordedS - firstRecordedS)
      return nowS
    }
    const tickUs = tickOf(text)
    if (tickUs === null) return nowS
    if (tickUs === 'none') {
      nowS += PLAIN_SPACING_S
      return nowS
    }
    const stepS = lastTickUs === null ? 0 : ((tickUs - lastTickUs + TICK_WRAP) % TICK_WRAP) / 1e6
    if (stepS <= STEP_MAX_S) nowS += stepS
    lastTickUs = tickUs
    return nowS
  }
}

/** Null for a native sentence without a tick of its own moment: it comes with the line before it. */
function tickOf(text: string): number | 'none' | null {
  const decoded = decodeLine(text)
  if (!decoded.ok) return 'none'
  const { sentence } = decoded
  return sentence.kind === 'sample' || sentence.kind === 'axes' ? sentence.tickUs : null
}
