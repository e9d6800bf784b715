import type { CycleEvent, ReleasedFrom } from './cycle-event.ts'
import { type FallLog, newFallLog } from './fall-log.ts'
import { newTrail, type Trail } from './trail.ts'

/** Sizes below which the bend watch does not speak of a bend; degrees. */
export interface CycleOptions {
  /** The die must go this far past the datum before it is a bend. */
  readonly startDeg: number
  /** It must come back this far from the top before it counts as letting off. */
  readonly letOffDeg: number
  /** Moved this far below where it settled, the tube is out. */
  readonly takenOutDeg: number
  /** The sensor loses sight of the tube when it is let off, as one on the arm does. */
  readonly losesSight?: boolean
}

/**
 * A knock or the last of the slack stays below 1°; a tube that relaxes on the hold comes back by 0.02° to 0.2°
 * and the least springback is about 0.5° (common practice, no source), so 0.3° tells them apart.
 */
export const CYCLE_DEFAULTS: CycleOptions = { startDeg: 1, letOffDeg: 0.3, takenOutDeg: 3 }

export type Report = (event: CycleEvent) => void

/**
 * `out`: the tube was taken out; only a new datum starts another bend. `hidden`: it was let off, and the sensor
 * does not show where it stands.
 */
type Phase =
  | 'no-datum'
  | 'seated'
  | 'bending'
  | 'held'
  | 'letting-off'
  | 'settled'
  | 'hidden'
  | 'out'

/** What is known of one go. */
export interface GoMeasure {
  strokes: number
  /** −1 until a top was seen. */
  peakDeg: number
  peakAtS: number
  /** −1 until it was measured; a real one is never negative. */
  releasedSeDeg: number
  releasedDeg: number
  releasedAtS: number
  /** Where it is known from; not there when the die stood still. */
  releasedFrom?: ReleasedFrom
}

/** The whole memory of the bend watch: plain data. JSON makes null of NaN; both say that nothing came yet. */
export interface CycleState {
  phase: Phase
  /** Number of the go in hand, from 1. */
  go: number
  now: GoMeasure
  /** The go before, to fall back on when this one turns out to be none. */
  before: GoMeasure
  /** Time of the newest sample; NaN before the first, since a field that may be null costs memory each time. */
  lastS: number
  lastDeg: number
  /** Where the die stood before samples were missing for a while; null when none are. */
  gapFromDeg: number | null
  trail: Trail
  fall: FallLog
  noiseVariance: number
  /** Smallest difference between two samples; 0 before there was one. */
  quantumDeg: number
  strokeAtS: number
  /** Highest short mean of the stroke in hand, and lowest since letting off. */
  topDeg: number
  lowDeg: number
  heldDeg: number
  heldAtS: number
  /** When the peak is to be read; null when nothing is due. */
  peakDueS: number | null
  /** It was read on the hold. */
  peakRead: boolean
  /** When to look for the plateau next. */
  lookAtS: number
  /** The plateau's end was seen: it is not to grow any more. */
  ended: boolean
  /** CUSUM of the plateau, both ways, and when each last was at nothing. */
  driftUpDeg: number
  driftDownDeg: number
  upSinceS: number
  downSinceS: number
  blockFromS: number
}

export function newGo(): GoMeasure {
  return {
    strokes: 0,
    peakDeg: -1,
    peakAtS: 0,
    releasedSeDeg: -1,
    releasedDeg: 0,
    releasedAtS: 0,
  }
}

/** Sensor noise that is assumed until some has been seen: 0.03°. */
const NOISE_VARIANCE_START = 0.0009

/** The memory before the first sample. It is the same for all options; they are taken with each step. */
export function newCycle(_options?: CycleOptions): CycleState {
  return {
    phase: 'no-datum',
    go: 0,
    now: newGo(),
    before: newGo(),
    lastS: Number.NaN,
    lastDeg: 0,
    gapFromDeg: null,
    trail: newTrail(),
    fall: newFallLog(),
    noiseVariance: NOISE_VARIANCE_START,
    quantumDeg: 0,
    strokeAtS: 0,
    topDeg: 0,
    lowDeg: 0,
    heldDeg: 0,
    heldAtS: 0,
    peakDueS: null,
    peakRead: false,
    lookAtS: 0,
    ended: false,
    driftUpDeg: 0,
    driftDownDeg: 0,
    upSinceS: 0,
    downSinceS: 0,
    blockFromS: 0,
  }
}
