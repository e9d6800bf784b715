import { inspectionDue } from '../../bend/inspection-due.ts'
import { VERDICTS } from '../../messages/bends.ts'
import { MARK } from './facts.ts'

const INCOMPLETE = VERDICTS.indexOf('incomplete')

/** Of a block, what says whether a bend is due. */
interface Columns extends Readonly<Record<'piece' | 'everyNth' | 'lastPiece', Uint32Array>> {
  readonly marks: Uint16Array
  readonly verdict: Uint8Array
}

/** In a column 0 stands for what a plan leaves open. */
const orNull = (number: number | undefined) => number || null

function planOf(block: Columns, row: number) {
  if (((block.marks[row] ?? 0) & MARK.planned) === 0) return undefined
  return { everyNth: orNull(block.everyNth[row]), lastPiece: orNull(block.lastPiece[row]) }
}

/** Marks a row as due for inspection, or takes the mark off, by how the bend stands now. */
export function markDue(block: Columns, row: number): void {
  const marks = block.marks[row] ?? 0
  const due = inspectionDue({
    piece: block.piece[row] ?? 0,
    plan: planOf(block, row),
    isComplete: block.verdict[row] !== INCOMPLETE,
    isVoid: (marks & MARK.void) !== 0,
    isInspected: (marks & MARK.inspected) !== 0,
  })
  block.marks[row] = due === null ? marks & ~MARK.due : marks | MARK.due
}
