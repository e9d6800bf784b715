import { type Connection, type Draft, type DraftBlock, endOf } from './draft.ts'

/** What differs between a draft and the chain that runs. */
export interface Changes {
  readonly blocks: ReadonlyMap<string, 'added' | 'changed'>
  readonly removed: readonly string[]
  readonly connected: readonly Connection[]
  readonly disconnected: readonly Connection[]
  readonly isNoteChanged: boolean
  readonly count: number
}

/** As text that is the same for equal values, in whatever order their keys stand. */
function sorted(value: unknown): string {
  if (typeof value !== 'object' || value === null) return JSON.stringify(value) ?? 'undefined'
  if (Array.isArray(value)) return `[${value.map(sorted).join()}]`
  const entries = Object.entries(value).sort(([one], [other]) => (one < other ? -1 : 1))
  return `{${entries.map(([key, part]) => `${JSON.stringify(key)}:${sorted(part)}`).join()}}`
}

const isAlike = (one: DraftBlock, other: DraftBlock) =>
  one.kind === other.kind && sorted(one.parameters ?? {}) === sorted(other.parameters ?? {})

export const connectionKey = ({ from, to }: Connection) => `${from} ${to}`

const without = (some: readonly Connection[], others: readonly Connection[]) => {
  const known = new Set(others.map(connectionKey))
  return some.filter((one) => !known.has(connectionKey(one)))
}

/** What was added, changed and removed since `running`. */
export function changesOf(running: Draft, draft: Draft): Changes {
  const before = new Map(running.blocks.map((block) => [block.id, block]))
  const here = new Set(draft.blocks.map(({ id }) => id))
  const blocks = new Map<string, 'added' | 'changed'>()
  for (const block of draft.blocks) {
    const old = before.get(block.id)
    if (old === undefined) blocks.set(block.id, 'added')
    else if (!isAlike(old, block)) blocks.set(block.id, 'changed')
  }
  const removed = running.blocks.map(({ id }) => id).filter((id) => !here.has(id))
  const connected = without(draft.connections, running.connections)
  // What a removed block was connected to need not be said: it is gone with the block.
  const disconnected = without(running.connections, draft.connections).filter(
    ({ from, to }) => here.has(endOf(from).id) && here.has(endOf(to).id),
  )
  const isNoteChanged = (running.note ?? '') !== (draft.note ?? '')
  const count =
    blocks.size + removed.length + connected.length + disconnected.length + Number(isNoteChanged)
  return { blocks, removed, connected, disconnected, isNoteChanged, count }
}
