import type { CueEvent, CycleEvent } from '../bend/cycle-event.ts'
import type { Go } from '../messages/bends.ts'
import type { Result } from '../messages/live.ts'
import { millionths } from './coach.ts'
import type { ReadoutInForce } from './readout-facts.ts'

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

/** Of a go that was let off: nothing is judged before it is known where the tube stands. */
export const notJudged = (go: Go): Result => ({
  ...{ bendId: null, go, verdict: 'incomplete', errorDeg: null, expandedUncertaintyDeg: null },
  ...{ againDeg: null, goingAgain: false, learnedWhy: null },
})

/**
 * Expanded uncertainty of the angle a go was released at, degrees; null where it is not known. How well an angle was
 * read off a gauge, nobody has said.
 */
export function expandedDegOf(event: Settled, readout: ReadoutInForce | null) {
  const { releasedDeg, releasedSeDeg, releasedFrom } = event
  if (readout === null || releasedFrom === 'checked') return null
  const expandedDeg = readout.expandedDeg(releasedDeg, releasedSeDeg)
  return expandedDeg === null ? null : millionths(expandedDeg)
}
