import { type BlockRows, eachBlock, type ProcessField } from './charted-bends.ts'

/** The texts of a field that some rows have: their places in the list, the one met last first. */
export interface TextGroups {
  readonly numbers: readonly number[]
  /** How many rows have a text. */
  countOf(number: number): number
}

export function* groupSteps(
  blocks: readonly BlockRows[],
  field: ProcessField,
  texts: number,
): Generator<void, TextGroups> {
  const counts = new Uint32Array(texts)
  const numbers: number[] = []
  yield* eachBlock(blocks.toReversed(), ({ columns, rows }) => {
    const column = columns.named[field]
    for (let i = rows.length - 1; i >= 0; i -= 1) {
      const number = column[rows[i] ?? 0] ?? 0
      // Amended to a new text since this began: the next charts have it.
      if (number >= texts) continue
      const before = counts[number] ?? 0
      if (before === 0) numbers.push(number)
      counts[number] = before + 1
    }
  })
  return { numbers, countOf: (number) => counts[number] ?? 0 }
}
