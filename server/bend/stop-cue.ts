import type { CueEvent, CycleEvent } from './cycle-event.ts'

/** Where to stop. `leadS` covers what passes between the call and the die's standing still. */
export interface Aim {
  readonly commandedDeg: number
  readonly leadS: number
  readonly toleranceDeg: number
}

export interface CueSample {
  readonly timeS: number
  /** Smoothed, from the datum. */
  readonly angleDeg: number
  readonly rateDegPerS: number
}

type Cue = CueEvent['cue']

/** The whole memory of the stop cue: plain data. */
export interface StopCueState {
  cue: Cue
  aim: { commandedDeg: number; leadS: number; toleranceDeg: number } | null
  /** Under load: between `bending` and `letting-off`. */
  loaded: boolean
}

export function newStopCue(): StopCueState {
  return { cue: 'none', aim: null, loaded: false }
}

/** A new aim, or none. Takes effect at the next sample. */
export function setCueAim(state: StopCueState, aim: Aim | null): void {
  state.aim = aim && { ...aim }
}

/** Follows the bend watch: a go begins, the load comes off, the bend is closed. */
export function cueCycleEvent(state: StopCueState, event: CycleEvent): void {
  switch (event.kind) {
    case 'bending':
      state.loaded = true
      return
    case 'held':
      return
    default:
      state.loaded = false
  }
}

/** Moves the cue on; a stage that begins is reported before this returns. */
export function stepStopCue(
  state: StopCueState,
  sample: CueSample,
  report: (event: CueEvent) => void,
): void {
  const cue = stageOf(state, sample)
  if (cue === state.cue) return
  state.cue = cue
  report({ timeS: sample.timeS, cue, angleDeg: sample.angleDeg, rateDegPerS: sample.rateDegPerS })
}

const ORDER: readonly Cue[] = ['none', 'bend', 'ease', 'stop', 'over']

function stageOf(state: StopCueState, sample: CueSample): Cue {
  const { aim } = state
  if (!state.loaded || !aim) return 'none'
  const rateDegPerS = Math.max(0, sample.rateDegPerS)
  const leftDeg = aim.commandedDeg - sample.angleDeg - rateDegPerS * aim.leadS
  const wanted = stage(leftDeg, rateDegPerS, aim, sample.angleDeg)
  return ORDER.indexOf(wanted) > ORDER.indexOf(state.cue) ? wanted : state.cue
}

function stage(leftDeg: number, rateDegPerS: number, aim: Aim, angleDeg: number): Cue {
  if (angleDeg > aim.commandedDeg + aim.toleranceDeg) return 'over'
  if (leftDeg <= 0) return 'stop'
  return leftDeg < Math.max(3, rateDegPerS * 1.2) ? 'ease' : 'bend'
}
