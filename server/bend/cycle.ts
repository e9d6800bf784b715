import type { CycleEvent } from './cycle-event.ts'
import { clearFallLog, extendFallLog, type FallLog, findPlateau, newFallLog } from './plateau.ts'
import { at, clearTrail, extendTrail, meanOf, newTrail, oldestBin, type Trail } from './trail.ts'

/** Sizes below which the bend watch does not speak of a bend; degrees. */
export interface CycleOptions {
  /** The die must go this far past the datum before it is a bend. */
  readonly startDeg: number
  /** It must come back this far from the top before it counts as letting off. */
  readonly letOffDeg: number
  /** Moved this far below where it settled, the tube is out. */
  readonly takenOutDeg: number
}

export const CYCLE_DEFAULTS: CycleOptions = { startDeg: 1, letOffDeg: 0.3, takenOutDeg: 3 }

export interface CycleSample {
  readonly timeS: number
  /** From the datum; guarded against spikes but not smoothed. */
  readonly angleDeg: number
  /** 0 good, 1 uncertain, 2 bad, 3 none. */
  readonly quality: number
}

type Phase = 'no-datum' | 'seated' | 'bending' | 'held' | 'letting-off' | 'settled' | 'out'

/** The whole memory of the bend watch: plain data that JSON carries without loss. */
export interface CycleState {
  phase: Phase
  lastS: number | null
  trail: Trail
  fall: FallLog
  go: number
  strokes: number
  topDeg: number
  lowDeg: number
  heldDeg: number
  peakDeg: number
  peakAtS: number
  peaked: boolean
  releasedDeg: number
  releasedSeDeg: number
  checkAtS: number
  frozen: boolean
}

export type Report = (event: CycleEvent) => void

export function newCycle(_options: CycleOptions = CYCLE_DEFAULTS): CycleState {
  return {
    phase: 'no-datum',
    lastS: null,
    trail: newTrail(),
    fall: newFallLog(),
    go: 0,
    strokes: 0,
    topDeg: 0,
    lowDeg: 0,
    heldDeg: 0,
    peakDeg: 0,
    peakAtS: 0,
    peaked: false,
    releasedDeg: 0,
    releasedSeDeg: 0,
    checkAtS: 0,
    frozen: false,
  }
}

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
  state.lastS = timeS
  report({ kind: 'datum', timeS, readoutDeg })
}

/** Closes the open bend, if there is one; the next begins with a datum. */
export function closeCycle(state: CycleState, timeS: number, reason: string, report: Report): void {
  if (state.phase === 'no-datum') return
  state.phase = 'no-datum'
  report({ kind: 'closed', timeS, reason })
}

/** The wire is gone. Nothing is known until it is back. */
export function linkLost(state: CycleState, _timeS: number): void {
  clearTrail(state.trail)
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
  if (!(sample.quality <= 1 && Number.isFinite(sample.angleDeg))) return
  if (!(sample.timeS >= (state.lastS ?? sample.timeS))) return
  state.lastS = sample.timeS
  if (state.phase === 'no-datum' || state.phase === 'out') return
  const { trail } = state
  if (extendTrail(trail, sample.timeS, sample.angleDeg) && trail.end > 5)
    watch(state, options, report)
}

function watch(state: CycleState, options: CycleOptions, report: Report): void {
  const { trail } = state
  const timeS = at(trail.timeS, trail.end - 1)
  const nowDeg = meanOf(trail, trail.short, trail.end)
  switch (state.phase) {
    case 'seated':
      if (nowDeg > options.startDeg) load(state, timeS, nowDeg, true, report)
      return
    case 'bending':
    case 'held': {
      loaded(state, options, timeS, nowDeg, report)
      return
    }
    case 'letting-off': {
      lettingOff(state, options, timeS, nowDeg, report)
      return
    }
    case 'settled': {
      settled(state, options, timeS, nowDeg, report)
      return
    }
  }
}

function load(
  state: CycleState,
  timeS: number,
  nowDeg: number,
  again: boolean,
  report: Report,
): void {
  if (again) {
    state.go += 1
    state.strokes = 0
    state.peaked = false
  }
  state.strokes += 1
  state.topDeg = nowDeg
  state.phase = 'bending'
  report({ kind: 'bending', timeS, stroke: state.strokes, go: state.go })
}

function loaded(
  state: CycleState,
  options: CycleOptions,
  timeS: number,
  nowDeg: number,
  report: Report,
): void {
  const { trail } = state
  state.topDeg = Math.max(state.topDeg, nowDeg)
  if (nowDeg < state.topDeg - options.letOffDeg) {
    letOff(state, timeS, nowDeg, report)
    return
  }
  const lateDeg = meanOf(trail, trail.late, trail.end)
  const earlyDeg = meanOf(trail, trail.early, trail.late)
  const reachS = timeS - at(trail.timeS, trail.early)
  const still = reachS > 0.3 && Math.abs(lateDeg - earlyDeg) < 0.1
  if (still) notePeak(state, lateDeg, timeS)
  if (state.phase === 'bending' && still) {
    state.phase = 'held'
    state.heldDeg = lateDeg
    report({ kind: 'held', timeS, angleDeg: lateDeg })
  } else if (state.phase === 'held') {
    if (still) state.heldDeg = lateDeg
    else if (nowDeg > state.heldDeg + 0.3) load(state, timeS, nowDeg, false, report)
  }
}

function notePeak(state: CycleState, angleDeg: number, timeS: number): void {
  if (state.peaked && angleDeg <= state.peakDeg) return
  state.peakDeg = angleDeg
  state.peakAtS = timeS
  state.peaked = true
}

function letOff(state: CycleState, timeS: number, nowDeg: number, report: Report): void {
  const { trail } = state
  let topBin = trail.end - 3
  let topDeg = meanOf(trail, topBin, topBin + 3)
  for (let bin = topBin; bin >= oldestBin(trail); bin -= 1) {
    const angleDeg = meanOf(trail, bin, bin + 3)
    if (angleDeg < topDeg) continue
    topDeg = angleDeg
    topBin = bin
  }
  if (state.phase === 'bending') notePeak(state, topDeg, at(trail.timeS, topBin + 1))
  clearFallLog(state.fall)
  for (let bin = topBin; bin < trail.end; bin += 1)
    extendFallLog(state.fall, at(trail.timeS, bin), at(trail.angleDeg, bin))
  state.phase = 'letting-off'
  state.lowDeg = nowDeg
  state.checkAtS = timeS + 0.1
  report({ kind: 'letting-off', timeS, peakDeg: state.peakDeg, peakAtS: state.peakAtS })
}

function lettingOff(
  state: CycleState,
  options: CycleOptions,
  timeS: number,
  nowDeg: number,
  report: Report,
): void {
  const { trail } = state
  extendFallLog(state.fall, timeS, at(trail.angleDeg, trail.end - 1))
  state.lowDeg = Math.min(state.lowDeg, nowDeg)
  if (nowDeg > state.lowDeg + 0.5) {
    load(state, timeS, nowDeg, false, report)
    return
  }
  if (timeS < state.checkAtS) return
  state.checkAtS = timeS + 0.1
  const plateau = findPlateau(state.fall)
  if (!plateau) return
  if (plateau.levelDeg < options.startDeg) {
    state.phase = 'seated'
    state.go -= 1
    report({ kind: 'false-start', timeS })
    return
  }
  state.phase = 'settled'
  state.frozen = false
  reportSettled(state, timeS, plateau, report)
}

function reportSettled(
  state: CycleState,
  timeS: number,
  plateau: { fromS: number; levelDeg: number; seDeg: number },
  report: Report,
): void {
  state.releasedDeg = plateau.levelDeg
  state.releasedSeDeg = plateau.seDeg
  report({
    kind: 'settled',
    timeS,
    go: state.go,
    strokes: state.strokes,
    peakDeg: state.peakDeg,
    peakAtS: state.peakAtS,
    releasedDeg: plateau.levelDeg,
    releasedAtS: plateau.fromS,
    releasedSeDeg: plateau.seDeg,
  })
}

function settled(
  state: CycleState,
  options: CycleOptions,
  timeS: number,
  nowDeg: number,
  report: Report,
): void {
  const movedDeg = nowDeg - state.releasedDeg
  if (movedDeg > 0.5) {
    load(state, timeS, nowDeg, true, report)
    return
  }
  if (movedDeg < -options.takenOutDeg) {
    state.phase = 'out'
    report({ kind: 'taken-out', timeS })
  }
}
