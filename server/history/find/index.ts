import type { Database } from 'better-sqlite3'
import { type Amendable, type FoundAct, makeActsAfter } from './acts.ts'
import { BLOCK_BENDS, type Block, makeBlock } from './block.ts'
import { makeLoad, makeReadInto } from './block-store.ts'
import { markDue } from './due.ts'
import { MARK } from './facts.ts'
import { makeNamesByField, type NamesByField } from './names.ts'

/** What bends are found by, in memory, up to the newest bend and act. */
export interface FindIndex {
  readonly blocks: readonly Block[]
  readonly names: NamesByField
  /** Bends that had this value of a field before it was amended. */
  formerly(field: Amendable, value: string): ReadonlySet<number>
  /** When a person last wrote a note to this bend, milliseconds since 1970. */
  saidMs(id: number): number | undefined
  /** By how much the clock was set back at least before a bend that is marked so, seconds. */
  setBackS(id: number): number | undefined
  /** Changes with every bend and act. */
  readonly version: string
}

const NONE: ReadonlySet<number> = new Set()

/** Marks bends that begin before the one before them at the same bender did. */
function makeClockWatch() {
  const before = new Map<number, { readonly startedMs: number; readonly endedMs: number }>()
  const setBackS = new Map<number, number>()
  return {
    setBackS,
    see(block: Block, row: number): void {
      const station = block.named.station[row] ?? 0
      const startedMs = block.startedMs[row] ?? 0
      const last = before.get(station)
      if (last && startedMs < last.startedMs) {
        block.marks[row] = (block.marks[row] ?? 0) | MARK.clock
        setBackS.set(block.first + row, (last.endedMs - startedMs) / 1000)
      }
      before.set(station, { startedMs, endedMs: startedMs + (block.tookS[row] ?? 0) * 1000 })
    },
  }
}

/** Values that a field once had, each with the bends that had it. */
function makeFormer() {
  const bends = new Map<string, Set<number>>()
  const keyOf = (field: Amendable, value: string) => `${field} ${value}`
  return {
    add(field: Amendable, value: string, id: number): void {
      const key = keyOf(field, value)
      bends.set(key, (bends.get(key) ?? new Set()).add(id))
    },
    of: (field: Amendable, value: string) => bends.get(keyOf(field, value)) ?? NONE,
  }
}

/** When a person last wrote a note to each bend: by the notes' own times, since a clock may be set back. */
function makeSaid() {
  const newestMs = new Map<number, number>()
  return {
    add({ bendId, saidMs }: FoundAct): void {
      if (saidMs !== null) newestMs.set(bendId, Math.max(newestMs.get(bendId) ?? -Infinity, saidMs))
    },
    ms: (id: number) => newestMs.get(id),
  }
}

/**
 * Makes the index of a history. It is read when it is first asked for, and then follows: before each answer it takes
 * in what was recorded since, by whomever, so that nothing that writes has to know of it.
 */
export function makeFindIndex(db: Database): () => FindIndex {
  const load = makeLoad(db)
  const readInto = makeReadInto(db)
  const actsAfter = makeActsAfter(db)
  const lastBend = db.prepare<[], number>('SELECT coalesce(max(id), 0) FROM bend').pluck()
  const blocks: Block[] = []
  const names = makeNamesByField()
  const clock = makeClockWatch()
  const former = makeFormer()
  const said = makeSaid()
  let [bends, acts] = [0, 0]

  function nextBlock(upToId: number): Block {
    const open = blocks.at(-1)
    if (open && open.bends < BLOCK_BENDS) return open
    const number = blocks.length
    const isFull = (number + 1) * BLOCK_BENDS <= upToId
    const block = (isFull ? load(number, names) : null) ?? makeBlock(number * BLOCK_BENDS + 1)
    blocks.push(block)
    return block
  }

  function takeBends(): void {
    const upToId = lastBend.get() ?? 0
    while (bends < upToId) {
      const block = nextBlock(upToId)
      const seen = bends - block.first + 1
      if (block.bends < BLOCK_BENDS) readInto(block, upToId, names)
      for (let row = seen; row < block.bends; row += 1) clock.see(block, row)
      bends = block.first + block.bends - 1
    }
  }

  function amend(block: Block, row: number, { amended, bendId }: FoundAct): void {
    if (amended === null) return
    const { field, to } = amended
    if (field === 'piece') {
      former.add(field, String(block.piece[row]), bendId)
      block.piece[row] = Number(to)
    } else {
      former.add(field, names[field].textOf(block.named[field][row] ?? 0), bendId)
      block.named[field][row] = names[field].numberOf(to)
    }
  }

  function takeActs(): void {
    for (const act of actsAfter(acts)) {
      const block = blocks[Math.floor((act.bendId - 1) / BLOCK_BENDS)]
      const row = (act.bendId - 1) % BLOCK_BENDS
      if (block) {
        block.marks[row] = ((block.marks[row] ?? 0) & ~act.clears) | act.sets
        amend(block, row, act)
        said.add(act)
        markDue(block, row)
      }
      acts = act.id
    }
  }

  return function index() {
    takeBends()
    takeActs()
    return {
      ...{
        blocks,
        names,
        formerly: former.of,
        setBackS: (id) => clock.setBackS.get(id),
        saidMs: said.ms,
      },
      version: `${bends} ${acts}`,
    }
  }
}
