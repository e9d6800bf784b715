import type { Prompt } from './prompt.ts'
import type { Workshop } from './workshop.ts'

/** Degrees before the stop from which the operator is asked to go easy. */
const EASE_BEFORE_DEG = 6
/** The stop is called early by what the easy ram moves in a reaction time. */
const LEAD_DEG = 0.45
const STOPS_MAX = 10_000

/**
 * Stands in for a daemon that cannot be seen: the shop's old pointer on a degree ring. It calls the stops of a
 * list, one tube after the other, over and over.
 *
 * @returns what to show now; call it after every step.
 * @throws RangeError for an empty or overlong list, or an angle that is no bend.
 */
export function makePointer(
  stopsDeg: readonly number[],
): (sight: ReturnType<Workshop['sight']>) => Prompt {
  if (!(stopsDeg.length >= 1 && stopsDeg.length <= STOPS_MAX))
    throw new RangeError(`A list of stops holds 1 to ${STOPS_MAX} angles, got ${stopsDeg.length}.`)
  const wrong = stopsDeg.find((deg) => !(deg >= 1 && deg <= 180))
  if (wrong !== undefined) throw new RangeError(`A stop lies between 1° and 180°, got ${wrong}.`)
  let tubes = 0
  let isIn = false

  return function pointAt({ contact, bentDeg }) {
    if (contact === 'free') isIn = false
    else if (!isIn) {
      isIn = true
      tubes++
    }
    const stopDeg = stopsDeg[(tubes - 1) % stopsDeg.length] ?? 0
    const prompt: Prompt = {
      phase: PHASES[contact],
      cue: contact === 'loaded' ? cueAt(bentDeg, stopDeg) : 'none',
      verdict: contact === 'standing' ? 'in' : null,
      againDeg: null,
      hasJob: true,
    }
    return prompt
  }
}

const PHASES = {
  free: 'no-datum',
  slack: 'no-datum',
  loaded: 'bending',
  'letting-off': 'letting-off',
  standing: 'settled',
} as const satisfies Record<ReturnType<Workshop['sight']>['contact'], Prompt['phase']>

function cueAt(bentDeg: number, stopDeg: number): Prompt['cue'] {
  if (bentDeg >= stopDeg - LEAD_DEG) return 'stop'
  return bentDeg >= stopDeg - EASE_BEFORE_DEG ? 'ease' : 'bend'
}
