import type { Block } from './block.ts'

/**
 * Keeps of the first `count` rows those that fit, in their order, and gives how many are left. One plain loop over one
 * column each: a million bends take a few milliseconds so, and ten times as long by a function a row.
 */
export type Narrow = (block: Block, rows: Uint16Array, count: number) => number

type ColumnOf = (block: Block) => { readonly [row: number]: number | undefined }

export const nothing: Narrow = () => 0

export const equal =
  (columnOf: ColumnOf, value: number): Narrow =>
  (block, rows, count) => {
    const column = columnOf(block)
    let kept = 0
    for (let i = 0; i < count; i += 1) {
      const row = rows[i] ?? 0
      if (column[row] === value) rows[kept++] = row
    }
    return kept
  }

export const notBelow =
  (columnOf: ColumnOf, bound: number): Narrow =>
  (block, rows, count) => {
    const column = columnOf(block)
    let kept = 0
    for (let i = 0; i < count; i += 1) {
      const row = rows[i] ?? 0
      if ((column[row] ?? 0) >= bound) rows[kept++] = row
    }
    return kept
  }

export const below =
  (columnOf: ColumnOf, bound: number): Narrow =>
  (block, rows, count) => {
    const column = columnOf(block)
    let kept = 0
    for (let i = 0; i < count; i += 1) {
      const row = rows[i] ?? 0
      if ((column[row] ?? 0) < bound) rows[kept++] = row
    }
    return kept
  }

/** Any of these bits, or none of them. */
export const marked =
  (bits: number, isWanted = true): Narrow =>
  ({ marks }, rows, count) => {
    let kept = 0
    for (let i = 0; i < count; i += 1) {
      const row = rows[i] ?? 0
      if ((((marks[row] ?? 0) & bits) !== 0) === isWanted) rows[kept++] = row
    }
    return kept
  }

/** For what no single column tells. */
export const passing =
  (fits: (block: Block, row: number) => boolean): Narrow =>
  (block, rows, count) => {
    let kept = 0
    for (let i = 0; i < count; i += 1) {
      const row = rows[i] ?? 0
      if (fits(block, row)) rows[kept++] = row
    }
    return kept
  }
