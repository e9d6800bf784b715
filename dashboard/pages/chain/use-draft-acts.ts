import { useState } from 'preact/hooks'
import { type Connection, type Draft, type Edited, endOf, type Kinds } from './draft.ts'
import type { BlockActs } from './draft-block-sheet.tsx'
import { stepTo } from './draft-store.ts'
import {
  type Added,
  add,
  connect,
  disconnect,
  insert,
  remove,
  rename,
  setParameter,
} from './edit.ts'
import { focusBlock, focusChanges, focusOpener } from './focus.ts'

/** A sheet that belongs to the draft as a whole. */
export type OwnSheet = 'add' | 'prove' | 'apply'

/** What stands under the drawing: a block, a connection, or a sheet of the draft's own. */
type Chosen =
  | { readonly block: string }
  | { readonly connection: Connection }
  | { readonly sheet: OwnSheet }

/** Where the keyboard goes on when a sheet is closed: where it came from. */
function focusBehind(chosen: Chosen): void {
  if ('sheet' in chosen) focusOpener(chosen.sheet)
  else focusBlock('block' in chosen ? chosen.block : endOf(chosen.connection.to).id)
}

/** Every edit as a press of a button makes it: the draft goes on, or one sentence says why not. */
export function useDraftActs(draft: Draft, kinds: Kinds) {
  const [chosen, setChosen] = useState<Chosen | null>(null)
  /** Counts sheets that were opened: each is a new one, and takes the keyboard. */
  const [opened, setOpened] = useState(0)
  const [why, setWhy] = useState<string | null>(null)

  function open(next: Chosen): void {
    setWhy(null)
    setChosen(next)
    setOpened((count) => count + 1)
  }
  function close(): void {
    setWhy(null)
    setChosen(null)
    if (chosen !== null) focusBehind(chosen)
  }
  /** @returns whether the edit was made. */
  function take(edited: Edited): boolean {
    setWhy('why' in edited ? edited.why : null)
    if ('why' in edited) return false
    stepTo(edited.draft)
    return true
  }
  function takeAdded(added: Added): void {
    if (take(added) && added.id !== undefined) open({ block: added.id })
  }
  function takeAway(edited: Edited): void {
    if (!take(edited)) return
    setChosen(null)
    focusChanges()
  }

  const blockActs = (id: string): BlockActs => ({
    rename: (to) => take(rename(draft, id, to)) && setChosen({ block: to }),
    setParameter: (name, value) => take(setParameter(draft, kinds, id, name, value)),
    connect: (to, from) => take(connect(draft, kinds, { from, to })),
    disconnect: (to) => take(disconnect(draft, to)),
    remove: () => takeAway(remove(draft, kinds, id)),
    openConnection: (connection) => open({ connection }),
    close,
  })

  return {
    ...{ chosen, opened, open, close, blockActs },
    /** Why the last edit was not made. */
    why,
    add: (kind: string) => takeAdded(add(draft, kinds, kind)),
    insert: (connection: Connection, kind: string) =>
      takeAdded(insert(draft, kinds, connection, kind)),
    disconnect: (connection: Connection) => takeAway(disconnect(draft, connection.to)),
  }
}
