import type { CueEvent, CycleEvent, ReleasedFrom } from './cycle-event.ts'
import type { Aim } from './stop-cue.ts'

/** One go as it is drafted: the shape of a go in a bend's record. Angles in millionths of a degree. */
interface GoDraft {
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
  /** Not there when the die itself stood still, or when it was not let off. */
  releasedFrom?: ReleasedFrom | 'unknown'
}

/** A bend as the bend watch saw it, from datum to close. */
export interface BendDraft {
  readonly startedAtS: number
  /** What the readout showed when zero was taken. */
  readonly datumDeg: number
  readonly goes: readonly GoDraft[]
  readonly closedBy: string
  readonly finishedAtS: number
  /** True when the last go was let off and measured. */
  readonly complete: boolean
}

/** A go under load, of which nothing is measured yet but how far it was held. */
interface OpenGo {
  strokes: number
  commandedDeg: number | null
  cueDeg: number | null
  cueRateDegPerS: number | null
  heldDeg: number | null
  heldAtS: number
  /** Under a sensor that then does not see where the tube stands. */
  wasLetOff?: boolean
}

/** The whole memory of the fold: plain data. */
export interface DraftState {
  /** null when no bend is open. */
  startedAtS: number | null
  datumDeg: number
  commandedDeg: number | null
  goes: GoDraft[]
  open: OpenGo | null
}

/** More goes than this at one tube are not kept apart: the newest replaces the last. */
const GOES_MAX = 50

export function newDraft(): DraftState {
  return { startedAtS: null, datumDeg: 0, commandedDeg: null, goes: [], open: null }
}

/** The aim of the goes that follow, and of the one under load. */
export function draftAim(state: DraftState, aim: Aim | null): void {
  state.commandedDeg = aim ? millionths(aim.commandedDeg) : null
  if (state.open) state.open.commandedDeg = state.commandedDeg
}

/** A stop that is called in the go in hand; called again in a later stroke, the later one counts. */
export function draftCue(state: DraftState, event: CueEvent): void {
  if (event.cue !== 'stop' || !state.open) return
  state.open.cueDeg = millionths(event.angleDeg)
  state.open.cueRateDegPerS = millionths(event.rateDegPerS)
}

/** @returns the finished bend when the event closed one in which something was bent, else null. */
export function draftCycle(state: DraftState, event: CycleEvent): BendDraft | null {
  switch (event.kind) {
    case 'datum':
      begin(state, event)
      return null
    case 'bending':
      if (event.stroke === 1) state.open = openGo(state.commandedDeg)
      if (state.open) state.open.strokes = event.stroke
      if (state.open) state.open.wasLetOff = false
      return null
    case 'held':
      noteTop(state, event.angleDeg, event.timeS)
      return null
    case 'letting-off':
      noteTop(state, event.peakDeg, event.peakAtS)
      return null
    case 'let-off':
      noteTop(state, event.peakDeg, event.peakAtS)
      if (state.open) state.open.wasLetOff = true
      return null
    case 'false-start':
      state.open = null
      return null
    case 'settled':
      measured(state, event)
      return null
    case 'taken-out':
      unmeasured(state)
      return null
    case 'closed':
      return finish(state, event)
  }
}

function begin(state: DraftState, event: CycleEvent & { kind: 'datum' }): void {
  state.startedAtS = event.timeS
  state.datumDeg = millionths(event.readoutDeg)
  state.goes = []
  state.open = null
}

function openGo(commandedDeg: number | null): OpenGo {
  return {
    strokes: 1,
    commandedDeg,
    cueDeg: null,
    cueRateDegPerS: null,
    heldDeg: null,
    heldAtS: 0,
  }
}

function noteTop({ open }: DraftState, angleDeg: number, timeS: number): void {
  if (!open || angleDeg < (open.heldDeg ?? angleDeg)) return
  open.heldDeg = angleDeg
  open.heldAtS = timeS
}

/** The same go may be measured again, better: then its place is known by its number. */
function measured(state: DraftState, event: CycleEvent & { kind: 'settled' }): void {
  const place = Math.min(event.go, GOES_MAX) - 1
  const known = state.open ?? state.goes[place] ?? openGo(state.commandedDeg)
  const startS = state.startedAtS ?? 0
  state.goes[Math.min(place, state.goes.length)] = {
    commandedDeg: known.commandedDeg,
    cueDeg: known.cueDeg,
    cueRateDegPerS: known.cueRateDegPerS,
    peakDeg: millionths(event.peakDeg),
    peakAtS: millionths(event.peakAtS - startS),
    releasedDeg: millionths(event.releasedDeg),
    // Nobody at the chain knows how well an angle was read off a gauge.
    releasedSeDeg: event.releasedFrom === 'checked' ? null : millionths(event.releasedSeDeg),
    releasedAtS: millionths(event.releasedAtS - startS),
    strokes: event.strokes,
    ...(event.releasedFrom && { releasedFrom: event.releasedFrom }),
  }
  state.open = null
}

/** A go that was loaded, and of which no released angle was seen: its top is kept, nothing is made up. */
function unmeasured(state: DraftState): void {
  const { open, goes, startedAtS } = state
  state.open = null
  if (!open || open.heldDeg === null) return
  goes[Math.min(goes.length, GOES_MAX - 1)] = {
    commandedDeg: open.commandedDeg,
    cueDeg: open.cueDeg,
    cueRateDegPerS: open.cueRateDegPerS,
    peakDeg: millionths(open.heldDeg),
    peakAtS: millionths(open.heldAtS - (startedAtS ?? 0)),
    releasedDeg: null,
    releasedSeDeg: null,
    releasedAtS: null,
    strokes: open.strokes,
    ...(open.wasLetOff && { releasedFrom: 'unknown' }),
  }
}

function finish(state: DraftState, event: CycleEvent & { kind: 'closed' }): BendDraft | null {
  if (event.topDeg !== undefined) noteTop(state, event.topDeg, event.timeS)
  unmeasured(state)
  const { startedAtS, datumDeg, goes } = state
  state.startedAtS = null
  state.goes = []
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

const millionths = (value: number): number => Math.round(value * 1e6) / 1e6
