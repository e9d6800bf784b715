import type { Machine } from './machine.ts'
import type { Random } from './random.ts'
import { momentShare, springbackDeg } from './tube.ts'

/** Full moment on this die takes about so much; a small ram of the trade works at up to 200 bar (common practice). */
const FULL_BAR = 140
/** What friction of ram and seals takes while the slack is taken up. */
const SLACK_BAR = 1.5

/** Pressure of the ram, bar: it carries the moment of the tube, which is a spring on the way back. */
export function pressureBar(machine: Machine): number {
  const { contact, tube, dieDeg, bearingDeg, mostDeg, ramDegPerS } = machine
  if (tube === null || contact === 'free' || contact === 'standing') return 0
  if (contact === 'slack') return ramDegPerS > 0 ? SLACK_BAR : 0
  const mostBentDeg = mostDeg - bearingDeg
  const standsDeg = mostDeg - springbackDeg(tube, mostBentDeg)
  const sprungDeg = mostDeg - standsDeg
  const share = sprungDeg > 0 ? (dieDeg - standsDeg) / sprungDeg : 1
  return FULL_BAR * momentShare(tube, mostBentDeg) * Math.min(1, Math.max(0, share))
}

export interface TransducerSpec {
  readonly zeroCounts: number
  readonly fullCounts: number
  readonly fullBar: number
  /** Standard deviation of one reading, bar. */
  readonly noiseBar: number
}

/** A transducer of 0.5 to 4.5 V for 250 bar at a converter of 10 bits. */
export const TRANSDUCER: TransducerSpec = {
  zeroCounts: 102,
  fullCounts: 921,
  fullBar: 250,
  noiseBar: 0.2,
}

/** Reads a pressure as whole counts, the way the board sends them. */
export function makeTransducer(spec: TransducerSpec, random: Random): (bar: number) => number {
  const { zeroCounts, fullCounts, fullBar, noiseBar } = spec
  return (bar) => {
    const seenBar = bar + noiseBar * random.normal()
    return Math.round(zeroCounts + (seenBar / fullBar) * (fullCounts - zeroCounts))
  }
}
