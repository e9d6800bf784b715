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
  /** The go under load: what is known of it before it has settled. */
  open: OpenGo | null
}

interface OpenGo {
  strokes: number
  commandedDeg: number | null
  cueDeg: number | null
  cueRateDegPerS: number | null
  /** Chain time; null until the load came off. */
  peakDeg: number | null
  peakAtS: number | null
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
      bending(state, event.stroke)
      return null
    case 'letting-off':
      if (state.open) Object.assign(state.open, { peakDeg: event.peakDeg, peakAtS: event.peakAtS })
      return null
    case 'settled':
      settled(state, event)
      return null
    case 'false-start':
      state.open = null
      return null
    case 'closed':
      return finish(state, event)
    default:
      return null
  }
}

function bending(state: DraftState, stroke: number): void {
  if (stroke > 1 && state.open) state.open.strokes = stroke
  else if (stroke === 1) state.open = openGo(state.aim?.commandedDeg ?? null)
}

const openGo = (commandedDeg: number | null): OpenGo => ({
  strokes: 1,
  commandedDeg,
  cueDeg: null,
  cueRateDegPerS: null,
  peakDeg: null,
  peakAtS: null,
})

/** A plateau may be measured again, better, as it grows: the go keeps its place and its cue. */
function settled(state: DraftState, event: Extract<CycleEvent, { kind: 'settled' }>): void {
  const { startedAtS, goes, open } = state
  if (startedAtS === null) return
  const last = goes[event.go - 1]
  const cue = open ?? last
  goes[event.go - 1] = {
    commandedDeg: cue?.commandedDeg ?? null,
    cueDeg: cue?.cueDeg ?? null,
    cueRateDegPerS: cue?.cueRateDegPerS ?? null,
    peakDeg: millionths(event.peakDeg),
    peakAtS: millionths(event.peakAtS - startedAtS),
    releasedDeg: millionths(event.releasedDeg),
    releasedSeDeg: millionths(event.releasedSeDeg),
    releasedAtS: millionths(event.releasedAtS - startedAtS),
    strokes: event.strokes,
  }
  state.open = null
}

/** A go that was let off but never stood still has a peak and no released angle. */
function unsettled({ startedAtS, open }: DraftState): GoDraft[] {
  if (startedAtS === null || open === null || open.peakDeg === null || open.peakAtS === null)
    return []
  const { strokes, commandedDeg, cueDeg, cueRateDegPerS } = open
  return [
    {
      commandedDeg,
      cueDeg,
      cueRateDegPerS,
      peakDeg: millionths(open.peakDeg),
      peakAtS: millionths(open.peakAtS - startedAtS),
      releasedDeg: null,
      releasedSeDeg: null,
      releasedAtS: null,
      strokes,
    },
  ]
}

function finish(state: DraftState, event: CycleEvent & { kind: 'closed' }): BendDraft | null {
  const { startedAtS, datumDeg, open } = state
  const goes = [...state.goes, ...unsettled(state)]
  const wasBent = goes.length > 0 || open !== null
  Object.assign(state, newDraft(), { aim: state.aim })
  if (startedAtS === null || !wasBent) return null
  return {
    startedAtS,
    datumDeg,
    goes,
    closedBy: event.reason,
    finishedAtS: event.timeS,
    complete: open === null,
  }
}

const millionths = (value: number) => Math.round(value * 1e6) / 1e6
