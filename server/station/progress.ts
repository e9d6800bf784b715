import type { CueEvent, CycleEvent } from '../bend/cycle-event.ts'
import type { Cue, Phase } from '../messages/live.ts'

/** Where in the bend we are, as the page shows it. */
export interface Progress {
  readonly phase: Phase
  readonly cue: Cue
  readonly goNumber: number
  /** Largest angle under load in this go, degrees; null until it is known. */
  readonly peakDeg: number | null
}

export const AT_REST: Progress = { phase: 'no-datum', cue: 'none', goNumber: 1, peakDeg: null }

/** Pure: the next progress after an event of the bend watch. */
export function afterCycleEvent(before: Progress, event: CycleEvent): Progress {
  switch (event.kind) {
    case 'datum':
      return { ...AT_REST, phase: 'seated' }
    case 'bending': {
      const isNewGo = event.go !== before.goNumber
      return {
        ...before,
        phase: 'bending',
        goNumber: event.go,
        peakDeg: isNewGo ? null : before.peakDeg,
      }
    }
    case 'held':
      return { ...before, phase: 'held' }
    case 'letting-off':
      return { ...before, phase: 'letting-off', peakDeg: event.peakDeg }
    case 'settled':
    case 'let-off':
      return { ...before, phase: 'settled', peakDeg: event.peakDeg }
    case 'false-start':
      return before.goNumber > 1
        ? { ...before, phase: 'settled', goNumber: before.goNumber - 1 }
        : { ...AT_REST, phase: 'seated' }
    case 'taken-out':
      return before
    case 'closed':
      return AT_REST
  }
}

export const afterCueEvent = (before: Progress, { cue }: CueEvent): Progress => ({ ...before, cue })
