import type { Draft } from './draft.ts'

/** How many steps can be taken back. */
export const STEPS_MAX = 100

/** A draft with what it was before, and what was taken back. */
export interface Steps {
  readonly past: readonly Draft[]
  readonly now: Draft
  /** The next one to be done again comes last. */
  readonly future: readonly Draft[]
}

export const firstStep = (now: Draft): Steps => ({ past: [], now, future: [] })

/** One step on. What was taken back before is gone. */
export const stepOn = ({ past, now }: Steps, next: Draft): Steps => ({
  past: [...past, now].slice(-STEPS_MAX),
  now: next,
  future: [],
})

/** The step before; the same where there is none. */
export function undo(steps: Steps): Steps {
  const { past, now, future } = steps
  const before = past.at(-1)
  if (before === undefined) return steps
  return { past: past.slice(0, -1), now: before, future: [...future, now] }
}

/** The step that was taken back last; the same where there is none. */
export function redo(steps: Steps): Steps {
  const { past, now, future } = steps
  const next = future.at(-1)
  if (next === undefined) return steps
  return { past: [...past, now], now: next, future: future.slice(0, -1) }
}
