import type { Cue, Phase, Result } from '../../server/messages/live.ts'
import { shownErrorDeg } from './shown-angle.ts'

export type Word =
  | 'wait'
  | 'seat'
  | 'bend'
  | 'ease'
  | 'stop'
  | 'past'
  | 'letOff'
  | 'in'
  | 'under'
  | 'over'
  | 'check'

/** The two words after the first: what follows, with the angle it speaks of where there is one. */
type Tail =
  | 'none'
  | 'finder'
  | 'thenDatum'
  | 'accept'
  | 'record'
  | 'again'
  | 'upTo'
  | 'goOn'
  | 'backOff'
  | 'recorded'

export interface Instruction {
  readonly word: Word
  readonly tail: Tail
  readonly angleDeg: number | null
}

const say = (word: Word, tail: Tail = 'none', angleDeg: number | null = null): Instruction => ({
  word,
  tail,
  angleDeg,
})

function afterLettingOff(result: Result | null): Instruction {
  if (result?.bendId === null && result.go.releasedFrom === 'unknown') return say('check', 'finder')
  if (result === null || result.verdict === 'incomplete') return say('wait')
  if (result.goingAgain) return say('bend', 'upTo', result.againDeg)
  const isOpen = result.bendId === null
  if (result.verdict === 'in') return say('in', isOpen ? 'accept' : 'recorded')
  if (result.againDeg !== null && result.verdict === 'under')
    return say('under', 'again', result.againDeg)
  // A part that is out is put on record; nobody calls it accepted.
  return say(result.verdict, isOpen ? 'record' : 'recorded', shownErrorDeg(result))
}

function underLoad(cue: Cue, standsStill: boolean): Instruction {
  if (cue === 'over') return say('past', 'backOff')
  if (cue === 'stop') return standsStill ? say('letOff') : say('stop')
  if (cue === 'ease') return standsStill ? say('bend', 'goOn') : say('ease')
  return standsStill ? say('bend', 'goOn') : say('bend')
}

/** What the operator is to do now, from where the bend is. `fresh` false: no degrees arrive. */
export function whatToDo(moment: {
  phase: Phase
  cue: Cue
  result: Result | null
  fresh: boolean
}): Instruction {
  const { phase, cue, result, fresh } = moment
  if (!fresh) return say('wait')
  if (phase === 'no-datum') return say('seat', 'thenDatum')
  if (phase === 'seated') return say('bend')
  if (phase === 'bending') return underLoad(cue, false)
  if (phase === 'held') return underLoad(cue, true)
  if (phase === 'letting-off') return say('letOff')
  return afterLettingOff(result)
}

/** The whole field turns over at the stop and stays so until the load comes off. */
export function fieldFor(phase: Phase, cue: Cue): 'calm' | 'stop' | 'past' {
  if (phase !== 'bending' && phase !== 'held') return 'calm'
  if (cue === 'stop') return 'stop'
  return cue === 'over' ? 'past' : 'calm'
}
