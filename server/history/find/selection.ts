import type { KnownNames } from '../../messages/find.ts'
import type { SelectedBends, SelectedBlock } from '../history.ts'
import { BLOCK_BENDS, type Block } from './block.ts'
import type { Condition } from './conditions.ts'
import { MARK, NAMED } from './facts.ts'
import type { FindIndex } from './index.ts'
import { walkBlocks } from './walk.ts'

/** Of each field, the newest names that are offered. */
const NAMES_MAX = 200

/** Looked through in one step: some milliseconds. */
const STEP_BENDS = 64 * BLOCK_BENDS

/** The first `count` of these rows, those of void bends apart. */
function selectedOf(block: Block, found: Uint16Array, count: number): SelectedBlock {
  const [rows, voided] = [new Uint16Array(count), new Uint16Array(count)]
  let [standing, void_] = [0, 0]
  for (let i = 0; i < count; i += 1) {
    const row = found[i] ?? 0
    if (((block.marks[row] ?? 0) & MARK.void) === 0) rows[standing++] = row
    else voided[void_++] = row
  }
  return { columns: block, rows: rows.subarray(0, standing), voided: voided.subarray(0, void_) }
}

/**
 * Every bend that fits, oldest first, in steps between which other work may go on. What is recorded meanwhile is not
 * among them.
 */
export function* selectionSteps(
  index: FindIndex,
  conditions: readonly Condition[],
): Generator<void, SelectedBends> {
  const { first: lastFirst, bends } = index.blocks.at(-1) ?? { first: 1, bends: 0 }
  const last = lastFirst + bends - 1
  const found: SelectedBlock[] = []
  for (let first = 1; first <= last; first += STEP_BENDS) {
    const way = { first, last: Math.min(last, first + STEP_BENDS - 1) }
    walkBlocks(index, conditions, way, (block, rows, count) => {
      found.push(selectedOf(block, rows, count))
      return true
    })
    yield
  }
  const { lot, die, station } = index.names
  return { blocks: found, texts: { lot: lot.all(), die: die.all(), station: station.all() } }
}

/** Their numbers alone. */
export function idsOf(index: FindIndex, conditions: readonly Condition[]): number[] {
  const ids: number[] = []
  walkBlocks(index, conditions, {}, (block, rows, count) => {
    for (const row of rows.subarray(0, count)) ids.push(block.first + row)
    return true
  })
  return ids
}

const newestNames = (all: readonly string[]) => all.slice(-NAMES_MAX).reverse()

export const knownNames = ({ names }: FindIndex) =>
  Object.fromEntries(
    NAMED.map((field) => [field, newestNames(names[field].all())]),
  ) as unknown as KnownNames
