import { at, extendTrail, meanOf, newTrail, type Trail } from '../bend/trail.ts'
import type { Trace } from './trace-csv.ts'

export interface CycleStart {
  /** The sample from which the bend watch looks. */
  readonly index: number
  /** Zero on the scale of the trace, where wraps are taken out. */
  readonly datumDeg: number
}

/** Moves of no more than this between two rests are slack being taken up; beyond, it is a stroke. */
const SLACK_MAX_DEG = 1.5
/** At rest the means of two neighbouring fifths of a second differ by less: 0.5 °/s. */
const STILL_DEG = 0.1
/** A rest goes on while its level stays within this band. */
const SAME_REST_DEG = 0.3
/** A rest that ends in a motion is left out for this long at its end, so that none of the motion is in its mean. */
const MARGIN_S = 0.2

interface Rest {
  readonly fromS: number
  toS: number
  readonly levelDeg: number
}

/**
 * Finds where the next bend of a trace has its zero: the level at which the die last rested before it moved up
 * for good. Slack that is taken up before is no bend. A trace that begins in motion has its first sample for zero.
 * @returns null when nothing moves up any more.
 */
export function restBeforeMotion(trace: Trace, from: number): CycleStart | null {
  const trail = newTrail()
  let rest: Rest | null = null
  let lowestDeg = trace.angleDeg[from] as number
  for (let index = from; index < trace.timeS.length; index += 1) {
    const timeS = trace.timeS[index] as number
    if (!extendTrail(trail, { timeS, angleDeg: trace.angleDeg[index] as number }) || trail.end < 3)
      continue
    const nowDeg = meanOf(trail, trail.short, trail.end)
    if (nowDeg > lowestDeg + SLACK_MAX_DEG) return startAt(trace, from, rest)
    const levelDeg = restingLevel(trail)
    if (levelDeg === null) {
      if (rest === null) lowestDeg = Math.min(lowestDeg, nowDeg)
      continue
    }
    if (rest && Math.abs(levelDeg - rest.levelDeg) < SAME_REST_DEG) rest.toS = timeS
    else {
      if (rest === null || levelDeg < rest.levelDeg) lowestDeg = levelDeg
      rest = { fromS: at(trail.timeS, trail.early), toS: timeS, levelDeg }
    }
  }
  return null
}

/** Where the die stands, or null while it moves. */
function restingLevel(trail: Trail): number | null {
  const { timeS, end, early, late, short } = trail
  if (!(at(timeS, end - 1) - at(timeS, early) > 0.3)) return null
  const lateDeg = meanOf(trail, late, end)
  if (!(Math.abs(lateDeg - meanOf(trail, early, late)) < STILL_DEG)) return null
  if (!(Math.abs(lateDeg - meanOf(trail, short, end)) < STILL_DEG)) return null
  return meanOf(trail, early, end)
}

function startAt(trace: Trace, from: number, rest: Rest | null): CycleStart {
  if (rest === null) return { index: from, datumDeg: trace.angleDeg[from] as number }
  const toS = Math.max(rest.toS - MARGIN_S, rest.fromS + MARGIN_S / 2)
  let sum = 0
  let count = 0
  let index = from
  for (; index < trace.timeS.length && (trace.timeS[index] as number) <= toS; index += 1) {
    if ((trace.timeS[index] as number) < rest.fromS) continue
    sum += trace.angleDeg[index] as number
    count += 1
  }
  return { index, datumDeg: count > 0 ? sum / count : rest.levelDeg }
}
