import { signal } from '@preact/signals'
import { benderKey } from '../../live/bender-key.ts'
import type { Draft } from './draft.ts'
import { firstStep, redo, type Steps, stepOn, undo } from './draft-steps.ts'
import { isDraft } from './draft-text.ts'

/** A draft is of one bender's chain. */
const keyNow = () => `overbend.chain-draft ${benderKey() ?? ''}`.trim()

/** A chain that is being changed on this screen. */
interface Open {
  /** Revision that it was begun from. */
  readonly begunFrom: string
  readonly steps: Steps
}

/** As much of the browser's storage as is needed here; its own types know it in a browser only. */
interface Shelf {
  getItem(key: string): string | null
  setItem(key: string, text: string): void
  removeItem(key: string): void
}
const shelf = () => (globalThis as unknown as { readonly sessionStorage: Shelf }).sessionStorage

/** Storage may be switched off; the draft then lasts until the page is loaded anew. */
function recall(): Open | null {
  try {
    const kept = JSON.parse(shelf().getItem(keyNow()) ?? 'null') as Record<string, unknown> | null
    const begunFrom = kept?.['begunFrom']
    const draft = kept?.['draft']
    if (typeof begunFrom !== 'string' || !isDraft(draft)) return null
    return { begunFrom, steps: firstStep(draft) }
  } catch {
    return null
  }
}

function keep(open: Open | null): void {
  try {
    if (open === null) shelf().removeItem(keyNow())
    else {
      const { begunFrom, steps } = open
      shelf().setItem(keyNow(), JSON.stringify({ begunFrom, draft: steps.now }))
    }
  } catch {
    // Nothing to do: it holds until the page is loaded anew.
  }
}

/** The draft; null while the chain is only looked at. It outlives a reload, its steps do not. */
export const openDraft = signal<Open | null>(recall())
openDraft.subscribe(keep)

/** Goes on with a draft: the one that is open as one more step, or a new one. */
export function takeDraft(draft: Draft, begunFrom: string): void {
  const open = openDraft.value
  openDraft.value = open
    ? { ...open, steps: stepOn(open.steps, draft) }
    : { begunFrom, steps: firstStep(draft) }
}

function move(change: (steps: Steps) => Steps): void {
  const open = openDraft.value
  if (open) openDraft.value = { ...open, steps: change(open.steps) }
}

export const stepTo = (draft: Draft): void => move((steps) => stepOn(steps, draft))
export const takeBack = (): void => move(undo)
export const doAgain = (): void => move(redo)

export function closeDraft(): void {
  openDraft.value = null
}
