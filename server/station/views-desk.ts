import { Type } from 'typebox'
import { Value } from 'typebox/value'
import { boundsOf } from '../history/filter.ts'
import type { History } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import { SavedView, type SaveViewAsk } from '../messages/views.ts'
import { refused } from '../web/refuse.ts'
import { Refused, type ViewsDoor } from '../web/station-door.ts'

/** More than anybody finds their way through in a list. */
const VIEWS_MAX = 200

/** One setting a view, so that one that is saved writes no other. */
const KEYS = Array.from({ length: VIEWS_MAX }, (_, i) => `view ${i + 1}`)

export interface ViewsParts {
  readonly history: Pick<History, 'remember' | 'recall'>
  readonly clock: { wallMs(): number }
}

/** What a view has in every version: it can be replaced and removed by its name, though not shown. */
const Named = Type.Object({ name: SavedView.properties.name })

interface Slot {
  readonly key: string
  readonly kept: unknown
}

/** Taken, whether this version can read it or not: a newer one may have written it. */
const isTaken = ({ kept }: Slot) => kept !== undefined && kept !== null

const viewIn = ({ kept }: Slot): SavedView | null => (Value.Check(SavedView, kept) ? kept : null)

/**
 * The shop's saved views of the history, the same on every device: settings in the file of the history, no evidence,
 * so that whatever copies a history copies them.
 */
export function makeViewsDesk({ history, clock }: ViewsParts): ViewsDoor {
  const slots = (): Slot[] => KEYS.map((key) => ({ key, kept: history.recall(key) }))

  /** Names are told apart to the letter, as they are kept. */
  const slotOf = (all: readonly Slot[], name: string) =>
    all.find(({ kept }) => Value.Check(Named, kept) && kept.name === name)

  return {
    list: () =>
      slots()
        .map(viewIn)
        .filter((view) => view !== null)
        .sort((a, b) => a.name.localeCompare(b.name)),
    save({ name, filter, who, replaces = false }: SaveViewAsk): SavedView {
      boundsOf(filter, clock.wallMs())
      const all = slots()
      const there = slotOf(all, name)
      if (there && !replaces) {
        const whose = viewIn(there)?.who ?? 'a newer Overbend'
        const sentence = `There is a view “${name}” already, which ${whose} saved: give another name, or say that yours takes its place.`
        throw new Refused('view-exists', sentence, 'name')
      }
      const slot = there ?? all.find((one) => !isTaken(one))
      if (slot === undefined) throw refused('too-many-views', VIEWS_MAX)
      const view = { name, filter, who, at: isoWithOffset(clock.wallMs()) }
      history.remember(slot.key, view)
      return view
    },
    remove(name: string): void {
      const there = slotOf(slots(), name)
      if (there === undefined) throw refused('no-such-view', `“${name}”`)
      history.remember(there.key, null)
    },
  }
}
