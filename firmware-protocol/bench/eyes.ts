import { BLANK_PROMPT, type Prompt } from './prompt.ts'
import type { Random } from './random.ts'

/** What an operator has taken in of the screen: each change is seen a reaction time after it was shown. */
export interface Eyes {
  readonly random: Random
  seen: Prompt
  readonly coming: { readonly atS: number; readonly prompt: Prompt }[]
}

/** Reaction to an expected light, with its scatter: about 0.2 s, common practice, no source. */
const REACTION_S = { mean: 0.2, sd: 0.03, least: 0.12, most: 0.35 }
/** More changes than this within one reaction time are a flicker: only the latest of them will be seen. */
const COMING_MAX = 32

export const makeEyes = (random: Random): Eyes => ({ random, seen: BLANK_PROMPT, coming: [] })

export function show(eyes: Eyes, nowS: number, prompt: Prompt): void {
  const last = eyes.coming.at(-1)
  if (alike(last?.prompt ?? eyes.seen, prompt)) return
  const { mean, sd, least, most } = REACTION_S
  const reactionS = Math.min(most, Math.max(least, mean + sd * eyes.random.normal()))
  if (eyes.coming.length >= COMING_MAX) eyes.coming.pop()
  // Nothing is seen before what was shown earlier.
  eyes.coming.push({ atS: Math.max(last?.atS ?? 0, nowS + reactionS), prompt: { ...prompt } })
}

/** What has been seen by now. */
export function look(eyes: Eyes, nowS: number): Prompt {
  for (let next = eyes.coming[0]; next && next.atS <= nowS; next = eyes.coming[0]) {
    eyes.seen = next.prompt
    eyes.coming.shift()
  }
  return eyes.seen
}

const alike = (a: Prompt, b: Prompt): boolean =>
  a.phase === b.phase &&
  a.cue === b.cue &&
  a.verdict === b.verdict &&
  a.againDeg === b.againDeg &&
  a.hasJob === b.hasJob
