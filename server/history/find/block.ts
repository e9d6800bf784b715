import { markDue } from './due.ts'
import { type BendFacts, NAMED, type Named } from './facts.ts'
import type { NamesByField } from './names.ts'

/** Bends in a block: small enough to be made in some 20 ms, large enough that a million are a thousand blocks. */
export const BLOCK_BENDS = 1024

/** What bends are found by, column by column: bend `first + row` in each. 91 bytes a bend. */
export interface Block {
  /** Number of its first bend. */
  readonly first: number
  bends: number
  readonly startedMs: Float64Array
  readonly offDeg: Float64Array
  readonly toleranceDeg: Float64Array
  readonly springbackDeg: Float64Array
  readonly tookS: Float32Array
  /** Single precision, good to 0.00001 degrees: what is charted of them is means. */
  readonly wantedDeg: Float32Array
  readonly stopDeg: Float32Array
  readonly tubeDeg: Float32Array
  readonly aimDeg: Float32Array
  readonly expandedDeg: Float32Array
  readonly piece: Uint32Array
  readonly everyNth: Uint32Array
  readonly lastPiece: Uint32Array
  readonly named: Readonly<Record<Named, Uint32Array>>
  readonly verdict: Uint8Array
  readonly marks: Uint16Array
}

/** The verdict of a number that no bend has: only a damaged history has gaps. */
export const NO_BEND = 255

export function makeBlock(first: number): Block {
  const floats = () => new Float64Array(BLOCK_BENDS)
  const singles = () => new Float32Array(BLOCK_BENDS)
  const numbers = () => new Uint32Array(BLOCK_BENDS)
  return {
    ...{ first, bends: 0 },
    ...{ startedMs: floats(), offDeg: floats(), toleranceDeg: floats(), springbackDeg: floats() },
    ...{ tookS: singles(), wantedDeg: singles(), expandedDeg: singles(), piece: numbers() },
    ...{ stopDeg: singles(), tubeDeg: singles(), aimDeg: singles() },
    ...{ everyNth: numbers(), lastPiece: numbers() },
    named: {
      part: numbers(),
      lot: numbers(),
      operator: numbers(),
      die: numbers(),
      station: numbers(),
    },
    verdict: new Uint8Array(BLOCK_BENDS).fill(NO_BEND),
    marks: new Uint16Array(BLOCK_BENDS),
  }
}

/** Puts a bend in its row; rows left out between stay without a bend. */
export function putRow(block: Block, row: number, facts: BendFacts, names: NamesByField): void {
  block.startedMs[row] = facts.startedMs
  block.tookS[row] = facts.tookS
  block.offDeg[row] = facts.offDeg
  block.toleranceDeg[row] = facts.toleranceDeg
  block.springbackDeg[row] = facts.springbackDeg
  block.wantedDeg[row] = facts.wantedDeg
  block.stopDeg[row] = facts.stopDeg
  block.tubeDeg[row] = facts.tubeDeg
  block.aimDeg[row] = facts.aimDeg
  block.expandedDeg[row] = facts.expandedDeg
  block.piece[row] = facts.piece
  block.everyNth[row] = facts.everyNth
  block.lastPiece[row] = facts.lastPiece
  block.verdict[row] = facts.verdict
  block.marks[row] = facts.marks
  for (const field of NAMED) block.named[field][row] = names[field].numberOf(facts[field])
  markDue(block, row)
  block.bends = Math.max(block.bends, row + 1)
}

/** The columns in the order in which they lie in a packed block: the widest first, so that each is aligned. */
const columnsOf = (block: Block) => [
  ...[block.startedMs, block.offDeg, block.toleranceDeg, block.springbackDeg],
  ...[block.wantedDeg, block.stopDeg, block.tubeDeg, block.aimDeg, block.expandedDeg],
  ...[block.tookS, block.piece, block.everyNth, block.lastPiece],
  ...[...NAMED.map((field) => block.named[field])],
  ...[block.marks, block.verdict],
]

/** A full block as it is kept: the columns one after another, in the byte order of this machine. */
export const packColumns = (block: Block): Buffer =>
  Buffer.concat(
    columnsOf(block).map(({ buffer, byteOffset, byteLength }) =>
      Buffer.from(buffer, byteOffset, byteLength),
    ),
  )

/** @returns null for bytes that are not those of a block. */
export function unpackColumns(first: number, packed: Buffer): Block | null {
  const block = makeBlock(first)
  const columns = columnsOf(block)
  const bytes = columns.reduce((sum, { byteLength }) => sum + byteLength, 0)
  if (packed.byteLength !== bytes) return null
  let at = 0
  for (const { buffer, byteOffset, byteLength } of columns) {
    new Uint8Array(buffer, byteOffset, byteLength).set(packed.subarray(at, at + byteLength))
    at += byteLength
  }
  block.bends = BLOCK_BENDS
  return block
}

/** Turns the names' numbers of a block kept by itself into those of the whole history. */
export function renumber(
  block: Block,
  texts: Readonly<Record<Named, readonly string[]>>,
  names: NamesByField,
): void {
  for (const field of NAMED) {
    const numbers = Uint32Array.from(texts[field], (text) => names[field].numberOf(text))
    const column = block.named[field]
    for (let row = 0; row < block.bends; row += 1) column[row] = numbers[column[row] ?? 0] ?? 0
  }
}
