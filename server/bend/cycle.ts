import { watchBin } from './cycle-phases.ts'
import { concludePlateau, wentNoFurther } from './cycle-plateau.ts'
import { type CycleOptions, type CycleState, newGo, type Report } from './cycle-state.ts'
import { clearTrail, extendTrail, meanOf } from './trail.ts'

export {
  CYCLE_DEFAULTS,
  type CycleOptions,
  type CycleState,
  newCycle,
  type Report,
} from './cycle-state.ts'

export interface CycleSample {
  readonly timeS: number
  /** From the datum; guarded against spikes but not smoothed. */
  readonly angleDeg: number
  /** 0 good, 1 uncertain, 2 bad, 3 none. Bad ones are passed over. */
  readonly quality: number
}

/** A few lost lines are nothing; longer than this, the die may have done anything meanwhile. */
const GAP_S = 0.5
/** Bins before anything is said: a mean of fewer is no better than a sample. */
const BINS_MIN = 6

/** Zero is here from now on: a bend that is open is closed first. */
export function datumTaken(
  state: CycleState,
  timeS: number,
  readoutDeg: number,
  report: Report,
): void {
  closeCycle(state, timeS, 'next datum', report)
  clearTrail(state.trail)
  state.phase = 'seated'
  state.go = 0
  state.now = newGo()
  state.before = newGo()
  state.gapFromDeg = null
  state.lastS = timeS
  report({ kind: 'datum', timeS, readoutDeg })
}

/** Closes the open bend, if there is one; the next begins with a datum. */
export function closeCycle(state: CycleState, timeS: number, reason: string, report: Report): void {
  if (state.phase === 'no-datum') return
  concludePlateau(state, timeS, report)
  const { phase, topDeg, now } = state
  state.phase = 'no-datum'
  const underLoad = phase === 'bending' || phase === 'held' || phase === 'letting-off'
  if (underLoad && wentNoFurther(state)) report({ kind: 'false-start', timeS })
  else if (underLoad) {
    report({ kind: 'closed', timeS, reason, topDeg: now.peakDeg < 0 ? topDeg : now.peakDeg })
    return
  }
  report({ kind: 'closed', timeS, reason })
}

/** The wire is gone. Nothing is known until it is back. */
export function linkLost(state: CycleState, _timeS: number): void {
  beginGap(state)
}

/** The wire is back. An absolute sensor still knows the angle; with any other the bend cannot go on. */
export function linkBack(
  state: CycleState,
  timeS: number,
  absolute: boolean,
  report: Report,
): void {
  if (!absolute) closeCycle(state, timeS, 'link lost', report)
}

/** Treats one sample; whatever it brings to light is reported before this returns. */
export function stepCycle(
  state: CycleState,
  options: CycleOptions,
  sample: CycleSample,
  report: Report,
): void {
  const { timeS, angleDeg } = sample
  if (!(sample.quality <= 1 && Number.isFinite(angleDeg) && Number.isFinite(timeS))) return
  const sinceS = Number.isFinite(state.lastS) ? timeS - state.lastS : 0
  if (!(sinceS >= 0)) return
  if (sinceS > GAP_S) beginGap(state)
  learnQuantum(state, angleDeg)
  state.lastS = timeS
  state.lastDeg = angleDeg
  if (state.phase === 'no-datum' || state.phase === 'out') return
  const { trail } = state
  if (!extendTrail(trail, sample) || trail.end < BINS_MIN) return
  if (state.gapFromDeg !== null && !bridgeGap(state, options, sample.timeS, report)) return
  watchBin(state, options, report)
}

function learnQuantum(state: CycleState, angleDeg: number): void {
  const stepDeg = Math.abs(angleDeg - state.lastDeg)
  // Below a millionth of a degree it is the arithmetic's own rounding.
  if (stepDeg > 1e-6 && (state.quantumDeg === 0 || stepDeg < state.quantumDeg))
    state.quantumDeg = stepDeg
}

function beginGap(state: CycleState): void {
  const { trail } = state
  if (trail.end > 0) state.gapFromDeg ??= meanOf(trail, trail.short, trail.end)
  clearTrail(trail)
}

/**
 * Samples are there again. Under load, a die that stands lower than before was let off unseen, and the peak
 * may have been passed unseen too: an angle that nobody saw is not made up.
 * @returns whether the bend goes on.
 */
function bridgeGap(
  state: CycleState,
  options: CycleOptions,
  timeS: number,
  report: Report,
): boolean {
  const { trail } = state
  const lowerDeg = (state.gapFromDeg ?? 0) - meanOf(trail, trail.short, trail.end)
  state.gapFromDeg = null
  const underLoad = state.phase === 'bending' || state.phase === 'held'
  if (!underLoad || lowerDeg < options.letOffDeg) return true
  closeCycle(state, timeS, 'let off while no samples came', report)
  return false
}
