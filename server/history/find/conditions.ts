import { VERDICTS } from '../../messages/bends.ts'
import type { BendFilter } from '../../messages/find.ts'
import type { FILTER_CHOICES } from '../../messages/find-choices.ts'
import { type Bounds, boundsOf } from '../filter.ts'
import { type Amendable, folded, type SomeBends } from './acts.ts'
import type { Block } from './block.ts'
import { MARK, NAMED, type Named } from './facts.ts'
import type { FindIndex } from './index.ts'
import { below, equal, marked, type Narrow, notBelow, nothing, passing } from './narrow.ts'

/** One condition of a filter: the name it has there, and which rows it keeps. */
export interface Condition {
  readonly name: string
  readonly narrow: Narrow
}

/** Finds the bends to which somebody wrote these words, already folded. */
export type BendsSaid = (words: string) => SomeBends

const NONE: ReadonlySet<number> = new Set()

const isAmendable = (field: Named | 'piece'): field is Amendable =>
  field !== 'die' && field !== 'station'

function equals(field: Named | 'piece', value: string, index: FindIndex): Narrow {
  const number = field === 'piece' ? Number(value) : index.names[field].find(value)
  const columnOf = (block: Block) => (field === 'piece' ? block.piece : block.named[field])
  const before = isAmendable(field) ? index.formerly(field, value) : NONE
  if (before.size === 0) return number === null ? nothing : equal(columnOf, number)
  return passing((block, row) => columnOf(block)[row] === number || before.has(block.first + row))
}

const started = (block: Block) => block.startedMs

/** Neither void nor written about since. */
const undecidedSince = (boundMs: number, { saidMs }: FindIndex) =>
  passing(({ marks, first }, row) => {
    const bits = marks[row] ?? 0
    if ((bits & MARK.void) !== 0) return false
    return (bits & MARK.noted) === 0 || !((saidMs(first + row) ?? -Infinity) >= boundMs)
  })

const TIME: Readonly<Record<keyof Bounds, (boundMs: number, index: FindIndex) => Narrow>> = {
  from: (boundMs) => notBelow(started, boundMs),
  to: (boundMs) => below(started, boundMs),
  firstDay: (boundMs) => notBelow(started, boundMs),
  lastDay: (boundMs) => below(started, boundMs),
  daysBack: (boundMs) => notBelow(started, boundMs),
  undecidedSince,
}

const YES_OR_NO = {
  amended: MARK.amended,
  voided: MARK.void,
  signed: MARK.signed,
  noted: MARK.noted,
  due: MARK.due,
  simulated: MARK.simulated,
} as const
const CHECKED = MARK.overdue | MARK.failed | MARK.good
const READOUT: Readonly<Record<(typeof FILTER_CHOICES)['readout'][number], Narrow>> = {
  overdue: marked(MARK.overdue),
  failed: marked(MARK.failed),
  either: marked(MARK.overdue | MARK.failed),
  good: marked(MARK.good),
  none: marked(CHECKED, false),
}

const WORDS_MAX = 8
const SEARCHED = ['part', 'lot', 'operator'] as const

/** One word, wherever a person may have written it. */
function says(word: string, index: FindIndex, bendsSaid: BendsSaid): Narrow {
  const said = bendsSaid(word)
  const has = (field: (typeof SEARCHED)[number]) =>
    Uint8Array.from(index.names[field].all(), (text) => Number(folded(text).includes(word)))
  const [inPart, inLot, inOperator] = [has('part'), has('lot'), has('operator')]
  const piece = /^[1-9]\d{0,6}$/.test(word) ? Number(word) : -1
  const isNamed = [inPart, inLot, inOperator].some((each) => each.includes(1))
  if (!isNamed && piece === -1 && !said.includes(1)) return nothing
  return ({ named: { part, lot, operator }, piece: pieces, first }, rows, count) => {
    let kept = 0
    for (let i = 0; i < count; i += 1) {
      const row = rows[i] ?? 0
      if (
        inPart[part[row] ?? 0] === 1 ||
        inLot[lot[row] ?? 0] === 1 ||
        inOperator[operator[row] ?? 0] === 1 ||
        pieces[row] === piece ||
        said[first + row] === 1
      )
        rows[kept++] = row
    }
    return kept
  }
}

function saysAll(text: string, index: FindIndex, bendsSaid: BendsSaid): Narrow {
  const words = folded(text)
    .split(/\s+/)
    .filter((word) => word !== '')
  const each = words.slice(0, WORDS_MAX).map((word) => says(word, index, bendsSaid))
  return (block, rows, count) => each.reduce((kept, narrow) => narrow(block, rows, kept), count)
}

/**
 * What a filter asks, condition by condition. A filter is read here and nowhere else.
 *
 * @param nowMs The shop's clock, from which days are counted back.
 * @throws HistoryError `HISTORY_BAD_QUERY` naming the field.
 */
export function conditionsOf(
  filter: BendFilter,
  index: FindIndex,
  bendsSaid: BendsSaid,
  nowMs: number,
): Condition[] {
  const found: Condition[] = []
  const add = (name: string, narrow: Narrow) => found.push({ name, narrow })
  for (const field of [...NAMED, 'piece'] as const) {
    const value = filter[field]
    if (value !== undefined) add(field, equals(field, String(value), index))
  }
  if (filter.verdict !== undefined) {
    const verdict = VERDICTS.indexOf(filter.verdict)
    add(
      'verdict',
      equal((block) => block.verdict, verdict),
    )
  }
  for (const [name, boundMs] of Object.entries(boundsOf(filter, nowMs)))
    add(name, TIME[name as keyof Bounds](boundMs, index))
  for (const [name, bit] of Object.entries(YES_OR_NO)) {
    const wanted = filter[name as keyof typeof YES_OR_NO]
    if (wanted !== undefined) add(name, marked(bit, wanted === 'yes'))
  }
  if (filter.readout !== undefined) add('readout', READOUT[filter.readout])
  if (filter.clock !== undefined) add('clock', marked(MARK.clock))
  if (filter.text !== undefined && filter.text.trim() !== '')
    add('text', saysAll(filter.text, index, bendsSaid))
  return found
}
