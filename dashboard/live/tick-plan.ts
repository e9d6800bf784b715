import type { Cue, Phase } from '../../server/messages/live.ts'

/** Ticks begin here and quicken to the stop. */
const TICKS_WITHIN_DEG = 15
const SLOWEST_S = 0.5
const QUICKEST_S = 0.09

export type Sound =
  | { readonly kind: 'quiet' }
  | { readonly kind: 'ticks'; readonly everyS: number }
  | { readonly kind: 'steady' }
  | { readonly kind: 'falling' }

/** What is to be heard now. The tick's pace is the distance left; the stop is one steady tone. */
export function soundFor(phase: Phase, cue: Cue, toGoDeg: number): Sound {
  if (phase !== 'bending') return { kind: 'quiet' }
  if (cue === 'over') return { kind: 'falling' }
  if (cue === 'stop') return { kind: 'steady' }
  if (!(toGoDeg < TICKS_WITHIN_DEG)) return { kind: 'quiet' }
  const share = Math.max(0, toGoDeg) / TICKS_WITHIN_DEG
  return { kind: 'ticks', everyS: QUICKEST_S + (SLOWEST_S - QUICKEST_S) * share }
}
