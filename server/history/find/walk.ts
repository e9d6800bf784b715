import { BLOCK_BENDS, type Block, NO_BEND } from './block.ts'
import type { Condition } from './conditions.ts'
import type { FindIndex } from './index.ts'

/** Sees the rows of a block that fit, oldest first: the first `count` of `rows`. False ends the walk. */
type See = (block: Block, rows: Uint16Array, count: number) => boolean

/** Between which numbers a walk goes, both of them included, and which way. */
export interface Way {
  readonly first?: number
  readonly last?: number
  readonly isNewestFirst?: boolean
}

/** Puts the rows of a block that hold a bend between two numbers, and gives how many. */
function rowsBetween(block: Block, rows: Uint16Array, first: number, last: number): number {
  const end = Math.min(last - block.first, block.bends - 1)
  let count = 0
  for (let row = Math.max(first - block.first, 0); row <= end; row += 1)
    if (block.verdict[row] !== NO_BEND) rows[count++] = row
  return count
}

/** Goes through every block with the rows of it that fit. */
export function walkBlocks(
  { blocks }: FindIndex,
  conditions: readonly Condition[],
  { first = 1, last = Number.MAX_SAFE_INTEGER, isNewestFirst = false }: Way,
  see: See,
): void {
  const rows = new Uint16Array(BLOCK_BENDS)
  const begin = isNewestFirst
    ? blocks.findLastIndex((block) => block.first <= last)
    : blocks.findIndex((block) => block.first + block.bends > first)
  const step = isNewestFirst ? -1 : 1
  let at = begin
  for (let block = blocks[at]; block !== undefined; block = blocks[at]) {
    let count = rowsBetween(block, rows, first, last)
    for (const { narrow } of conditions) if (count > 0) count = narrow(block, rows, count)
    if (count > 0 && !see(block, rows, count)) return
    at += step
  }
}
