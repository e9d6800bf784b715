import type { Port } from './block.ts'
import {
  GOOD,
  type ItemColumn,
  NONE,
  type NumberColumn,
  type Quality,
  UNCERTAIN,
} from './column.ts'
import type { BoundColumns } from './columns.ts'
import type { PlannedBlock } from './plan.ts'

/** What went over one output since the watch began. Whoever asks twice takes the difference of the counts. */
export interface OutputSeen {
  readonly block: string
  readonly port: string
  /** Values by their quality; items count as good. */
  readonly good: number
  readonly uncertain: number
  readonly bad: number
  /** The last value; null where none came, and for items. */
  readonly value: number | null
  /** Of the last value or item; NONE where none came. */
  readonly quality: Quality
  /** Its source time, seconds; null where none came. */
  readonly timeS: number | null
}

/** Looks at a chain's columns after each batch, while somebody wants to know. */
export interface Watch {
  /** To be called after each batch. */
  see(rows: number): void
  /** What was seen, an output each, in the order of the file. */
  seen(): OutputSeen[]
}

type Seen = { -readonly [K in keyof OutputSeen]: OutputSeen[K] }

const begin = (block: string, port: string): Seen => ({
  block,
  port,
  good: 0,
  uncertain: 0,
  bad: 0,
  value: null,
  quality: NONE,
  timeS: null,
})

function seeNumbers({ timeS, value, quality }: NumberColumn, rows: number, seen: Seen): void {
  for (let row = 0; row < rows; row++) {
    const now = quality[row] as Quality
    if (now === NONE) continue
    if (now === GOOD) seen.good++
    else if (now === UNCERTAIN) seen.uncertain++
    else seen.bad++
    seen.value = value[row] as number
    seen.quality = now
    seen.timeS = timeS[row] as number
  }
}

function seeItems({ timeS, items, count }: ItemColumn<unknown>, rows: number, seen: Seen): void {
  if (count === 0) return
  for (let row = 0; row < rows; row++) {
    if (items[row] === null) continue
    seen.good++
    seen.quality = GOOD
    seen.timeS = timeS[row] as number
  }
}

/** Costs a look at every place of every output a batch: for as long as somebody looks, and no longer. */
export function makeWatch(
  blocks: readonly PlannedBlock[],
  columns: readonly BoundColumns[],
): Watch {
  const outputs = blocks.flatMap(({ id, block }, place) =>
    Object.entries(block.outputs).map(([name, port]: [string, Port]) => ({
      isItem: port.carries === 'item',
      column: columns[place]?.out[name] as NumberColumn | ItemColumn<unknown>,
      seen: begin(id, name),
    })),
  )
  return {
    see(rows) {
      for (const { isItem, column, seen } of outputs)
        if (isItem) seeItems(column as ItemColumn<unknown>, rows, seen)
        else seeNumbers(column as NumberColumn, rows, seen)
    },
    seen: () => outputs.map(({ seen }) => ({ ...seen })),
  }
}
