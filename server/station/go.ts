import type { CueEvent, CycleEvent } from '../bend/cycle-event.ts'
import type { Go } from '../messages/bends.ts'
import { millionths } from './coach.ts'

export type Settled = Extract<CycleEvent, { kind: 'settled' }>
export type LetOff = Extract<CycleEvent, { kind: 'let-off' }>

interface GoContext {
  readonly commandedDeg: number | null
  readonly called: CueEvent | null
  /** Chain time of the datum, seconds. */
  readonly datumS: number
}

/** A go that has just settled, as the page shows it; the record's own comes from the chain. */
export const goOf = (event: Settled, { commandedDeg, called, datumS }: GoContext): Go => ({
  commandedDeg,
  cueDeg: called && millionths(called.angleDeg),
  cueRateDegPerS: called && millionths(called.rateDegPerS),
  peakDeg: millionths(event.peakDeg),
  peakAtS: millionths(event.peakAtS - datumS),
  releasedDeg: millionths(event.releasedDeg),
  // How well an angle was read off a gauge, nobody has said.
  releasedSeDeg: event.releasedFrom === 'checked' ? null : millionths(event.releasedSeDeg),
  releasedAtS: millionths(event.releasedAtS - datumS),
  strokes: event.strokes,
  ...(event.releasedFrom && { releasedFrom: event.releasedFrom }),
})

/** A go that was let off under a sensor that does not show where the tube stands. */
export const hiddenGoOf = (event: LetOff, { commandedDeg, called, datumS }: GoContext): Go => ({
  commandedDeg,
  cueDeg: called && millionths(called.angleDeg),
  cueRateDegPerS: called && millionths(called.rateDegPerS),
  peakDeg: millionths(event.peakDeg),
  peakAtS: millionths(event.peakAtS - datumS),
  releasedDeg: null,
  releasedSeDeg: null,
  releasedAtS: null,
  strokes: event.strokes,
  releasedFrom: 'unknown',
})
