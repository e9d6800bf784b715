import { VERDICTS } from '../../messages/bends.ts'
import type { KnownNames } from '../../messages/find.ts'
import type { SelectedBend } from '../history.ts'
import type { Block } from './block.ts'
import type { Condition } from './conditions.ts'
import { MARK, NAMED, type Named } from './facts.ts'
import type { FindIndex } from './index.ts'
import { walkBlocks } from './walk.ts'

/** Of each field, the newest names that are offered. */
const NAMES_MAX = 200

function selectedOf({ names }: FindIndex, block: Block, row: number): SelectedBend {
  const at = (column: { readonly [row: number]: number }) => column[row] ?? Number.NaN
  const nameOf = (field: Named) => names[field].textOf(at(block.named[field]))
  return {
    id: block.first + row,
    startedMs: at(block.startedMs),
    piece: at(block.piece),
    verdict: VERDICTS[at(block.verdict)] ?? 'incomplete',
    offDeg: at(block.offDeg),
    toleranceDeg: at(block.toleranceDeg),
    springbackDeg: at(block.springbackDeg),
    ...{ wantedDeg: at(block.wantedDeg), expandedDeg: at(block.expandedDeg) },
    ...{ stopDeg: at(block.stopDeg), tubeDeg: at(block.tubeDeg), aimDeg: at(block.aimDeg) },
    ...{ part: nameOf('part'), lot: nameOf('lot'), operator: nameOf('operator') },
    ...{ die: nameOf('die'), station: nameOf('station') },
    isVoid: (at(block.marks) & MARK.void) !== 0,
    isAmended: (at(block.marks) & MARK.amended) !== 0,
  }
}

/** Every bend that fits, oldest first. */
export function selectionOf(index: FindIndex, conditions: readonly Condition[]): SelectedBend[] {
  const found: SelectedBend[] = []
  walkBlocks(index, conditions, {}, (block, rows, count) => {
    for (const row of rows.subarray(0, count)) found.push(selectedOf(index, block, row))
    return true
  })
  return found
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
