import type { CueEvent, CycleEvent } from './cycle-event.ts'
import type { Aim } from './stop-cue.ts'

/** One go as it is drafted: the shape of a go in a bend's record. */
export interface GoDraft {
  commandedDeg: number | null
  cueDeg: number | null
  cueRateDegPerS: number | null
  peakDeg: number
  /** Seconds from the datum. */
  peakAtS: number
  releasedDeg: number | null
  releasedSeDeg: number | null
  /** Seconds from the datum. */
  releasedAtS: number | null
  strokes: number
}

/** A bend as the bend watch saw it, from datum to close. */
export interface BendDraft {
  readonly startedAtS: number
  readonly datumDeg: number
  readonly goes: readonly GoDraft[]
  readonly closedBy: string
  readonly finishedAtS: number
  /** True when the last go was let off and measured. */
  readonly complete: boolean
}

/** The whole memory of the fold: plain data. */
export interface DraftState {
  startedAtS: number | null
  datumDeg: number
  aim: { commandedDeg: number; leadS: number; toleranceDeg: number } | null
  goes: GoDraft[]
  /** A go that is under load: nothing of it is measured yet. */
  open: { strokes: number; cueDeg: number | null; cueRateDegPerS: number | null } | null
}

export function newDraft(): DraftState {
  return { startedAtS: null, datumDeg: 0, aim: null, goes: [], open: null }
}

export function draftAim(state: DraftState, aim: Aim | null): void {
  state.aim = aim && { ...aim }
}

export function draftCue(state: DraftState, event: CueEvent): void {
  if (event.cue !== 'stop' || !state.open || state.open.cueDeg !== null) return
  state.open.cueDeg = millionths(event.angleDeg)
  state.open.cueRateDegPerS = millionths(event.rateDegPerS)
}

/** @returns the finished bend when the event closed one in which something was bent, else null. */
export function draftCycle(state: DraftState, event: CycleEvent): BendDraft | null {
  switch (event.kind) {
    case 'datum':
      Object.assign(state, newDraft(), { aim: state.aim })
      state.startedAtS = event.timeS
      state.datumDeg = millionths(event.readoutDeg)
      return null
    case 'bending':
      if (event.stroke === 1) state.open = { strokes: 1, cueDeg: null, cueRateDegPerS: null }
      else if (state.open) state.open.strokes = event.stroke
      return null
    case 'closed':
      return finish(state, event)
    default:
      return null
  }
}

function finish(state: DraftState, event: CycleEvent & { kind: 'closed' }): BendDraft | null {
  const { startedAtS, datumDeg, goes } = state
  if (startedAtS === null || goes.length === 0) return null
  return {
    startedAtS,
    datumDeg,
    goes,
    closedBy: event.reason,
    finishedAtS: event.timeS,
    complete: goes.at(-1)?.releasedDeg !== null,
  }
}

const millionths = (value: number) => Math.round(value * 1e6) / 1e6
