import type { WireState } from './link.ts'

/** Judges an open wire by what arrives on it. Pure: time is handed in. */
export interface WireWatch {
  verdict: Extract<WireState['state'], 'waiting' | 'live' | 'silent' | 'garbled'>
  lastBytesS: number
  windowFromS: number
  /** Since `windowFromS`. */
  bytes: number
  lines: number
  good: number
  refused: number
  /** Whole lines that are none of ours: another sensor on the wire, or another dialect. */
  foreign: number
}

/** At 200 samples a second 2 s without a byte are 400 samples: no hiccup of a bus is that long. */
const SILENT_AFTER_S = 2
/** Many boards reset when the port opens, and say nothing for 1 to 2 s. */
const BOOT_S = 3
const WINDOW_S = 2
/** Fewer bytes than this in a window may be line noise of a plug that is being pushed in. */
const GARBLED_BYTES = 64
/** Garbled when fewer than one in five lines is good. A wrong baud rate leaves none; a bad cable some. */
const REFUSED_PER_GOOD = 4

export const watchWire = (nowS: number): WireWatch => ({
  verdict: 'waiting',
  // The board gets its time to boot before its silence counts.
  lastBytesS: nowS + BOOT_S - SILENT_AFTER_S,
  windowFromS: nowS,
  bytes: 0,
  lines: 0,
  good: 0,
  refused: 0,
  foreign: 0,
})

export function noteBytes(watch: WireWatch, nowS: number, bytes: number): void {
  if (watch.verdict === 'silent') {
    watch.verdict = 'waiting'
    openWindow(watch, nowS)
  }
  watch.lastBytesS = nowS
  watch.bytes += bytes
}

export function noteLines(watch: WireWatch, lines: number): void {
  watch.lines += lines
}

/** What the decoder made of the lines. One good line is enough to be live, unless the rest is garbage. */
export function noteJudged(watch: WireWatch, good: number, refused: number, foreign = 0): void {
  watch.good += good
  watch.refused += refused
  watch.foreign += foreign
  if (watch.good > 0 && watch.verdict === 'waiting') watch.verdict = 'live'
}

/** Call it a few times a second. */
export function judgeWire(watch: WireWatch, nowS: number): WireWatch['verdict'] {
  if (silentForS(watch, nowS) >= SILENT_AFTER_S) watch.verdict = 'silent'
  else if (nowS - watch.windowFromS >= WINDOW_S) {
    if (isGarbled(watch)) watch.verdict = 'garbled'
    else if (watch.good > 0) watch.verdict = 'live'
    openWindow(watch, nowS)
  }
  return watch.verdict
}

export const silentForS = (watch: WireWatch, nowS: number): number => nowS - watch.lastBytesS

function isGarbled({ bytes, lines, good, refused, foreign }: WireWatch): boolean {
  const allJudged = good + refused + foreign >= lines
  // Beside good lines, foreign ones do no harm; by themselves they are not what was asked for.
  const senseless = good > 0 ? refused : refused + foreign
  return bytes >= GARBLED_BYTES && allJudged && good * REFUSED_PER_GOOD <= senseless
}

function openWindow(watch: WireWatch, nowS: number): void {
  watch.windowFromS = nowS
  watch.bytes = 0
  watch.lines = 0
  watch.good = 0
  watch.refused = 0
  watch.foreign = 0
}
