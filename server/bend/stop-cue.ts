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
  /** Between `bending` and `letting-off`: only then is there anything to say. */
  loaded: boolean
  /** The die stands or moves on anew: the next look may also take the cue back. */
  afresh: boolean
  /** Angle and rate when `stop` was called last in this go; null before. */
  stopDeg: number | null
  stopRateDegPerS: number | null
}

export function newStopCue(): StopCueState {
  return {
    cue: 'none',
    aim: null,
    loaded: false,
    afresh: false,
    stopDeg: null,
    stopRateDegPerS: null,
  }
}

/** A new aim, or none. It is taken up with the next sample, and may take the cue back. */
export function setCueAim(state: StopCueState, aim: Aim | null): void {
  const { commandedDeg = 0, leadS = 0, toleranceDeg = 0 } = aim ?? {}
  state.aim = aim && { commandedDeg, leadS, toleranceDeg }
  state.afresh = true
}

/** Follows the bend watch: a go or a stroke begins, it stands, the load comes off, it is over. */
export function cueCycleEvent(state: StopCueState, event: CycleEvent): void {
  switch (event.kind) {
    case 'bending':
      if (event.stroke === 1) {
        state.stopDeg = null
        state.stopRateDegPerS = null
      }
      state.loaded = true
      state.afresh = true
      return
    case 'held':
      state.afresh = true
      return
    default:
      state.loaded = false
  }
}

const ORDER: readonly Cue[] = ['none', 'bend', 'ease', 'stop', 'over']

/**
 * Moves the cue on; a stage that begins is reported before this returns. Within a stroke it only ever goes
 * forward, so that it cannot chatter; when the die stands still, or moves on, it is looked at afresh.
 */
export function stepStopCue(
  state: StopCueState,
  sample: CueSample,
  report: (event: CueEvent) => void,
): void {
  const { angleDeg, rateDegPerS } = sample
  if (!(Number.isFinite(angleDeg) && Number.isFinite(rateDegPerS))) return
  const cue = state.loaded && state.aim ? forward(state, state.aim, sample) : 'none'
  state.afresh = false
  if (cue === state.cue) return
  state.cue = cue
  if (cue === 'stop') {
    state.stopDeg = angleDeg
    state.stopRateDegPerS = rateDegPerS
  }
  report({ timeS: sample.timeS, cue, angleDeg, rateDegPerS })
}

function forward(state: StopCueState, aim: Aim, sample: CueSample): Cue {
  const wanted = stageOf(aim, sample)
  if (ORDER.indexOf(wanted) >= ORDER.indexOf(state.cue)) return wanted
  const called = state.cue === 'stop' || state.cue === 'over'
  const closeEnough = sample.angleDeg >= aim.commandedDeg - SHORT_SHARE * aim.toleranceDeg
  return state.afresh && !(called && closeEnough) ? wanted : state.cue
}

/** Stopped short by less than this share of the tolerance, it stays stopped: there is nothing to gain. */
const SHORT_SHARE = 0.5
/** One can slow down in this time: a reaction of 0.25 s to 0.5 s, and the hand's or the valve's way. */
const EASE_S = 1.2
/** Slowing down is called for at the latest here, however slow it is already. */
const EASE_DEG = 1
/** Noise and smoothing may show this much too much even with a tolerance of nothing. */
const OVER_MIN_DEG = 0.1

function stageOf(aim: Aim, { angleDeg, rateDegPerS }: CueSample): Cue {
  const rate = Math.max(0, rateDegPerS)
  // Where it will stand if the stop is called now: what passes before that passes at this rate.
  const shortDeg = aim.commandedDeg - (angleDeg + rate * aim.leadS)
  if (angleDeg > aim.commandedDeg + Math.max(OVER_MIN_DEG, aim.toleranceDeg)) return 'over'
  if (shortDeg <= 0) return 'stop'
  return shortDeg <= Math.max(EASE_DEG, rate * EASE_S) ? 'ease' : 'bend'
}
