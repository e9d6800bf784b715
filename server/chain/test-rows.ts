import { ChainRefused } from './chain-refused.ts'
import type { ChainTest } from './chain-test.ts'
import { BAD, GOOD, UNCERTAIN } from './column.ts'
import type { Cell, RigRow } from './rig.ts'

/** Values of one test, repeats written out: a bound on its time. */
const CELLS_MAX = 50_000
/** Two values as near in time share a row; half a tick of a microsecond. */
export const SAME_TIME_S = 5e-7

const QUALITIES = { good: GOOD, uncertain: UNCERTAIN, bad: BAD } as const

type Fields = Readonly<Record<string, unknown>>
const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** @throws ChainRefused `bad test`. */
export const refuseTest = (test: ChainTest, why: string): never => {
  throw new ChainRefused('bad test', `Test "${test.name}": ${why}.`)
}

function numberCell(entry: unknown): Cell | null | undefined {
  if (entry === null) return null
  if (typeof entry === 'number' && Number.isFinite(entry)) return { value: entry, quality: GOOD }
  if (!isFields(entry)) return undefined
  const { value, quality = 'good', ...rest } = entry
  const isKnown = typeof quality === 'string' && Object.hasOwn(QUALITIES, quality)
  if (typeof value !== 'number' || !isKnown || Object.keys(rest).length > 0) return undefined
  return { value, quality: QUALITIES[quality as keyof typeof QUALITIES] }
}

/** One entry of `values` as the cells it stands for. */
function cellsOf(entry: unknown, isItem: boolean): (Cell | null)[] | undefined {
  if (isItem) return [entry === null ? null : { item: entry }]
  const { repeat = 1, ...inner } = isFields(entry) ? entry : { value: entry }
  const isCount = Number.isInteger(repeat) && (repeat as number) >= 1
  const alone = Object.keys(inner).length === 1 ? inner['value'] : inner
  const cell = isCount ? numberCell(alone) : undefined
  if (cell === undefined) return undefined
  if ((repeat as number) > CELLS_MAX) return undefined
  return new Array<Cell | null>(repeat as number).fill(cell)
}

export interface Timed {
  readonly timeS: number
  readonly feed: number
  readonly cell: Cell
}

/** All that a test puts in, by time. `isItem` of each feed; the source's lines are items. */
export function timedCells(test: ChainTest, isItem: readonly boolean[]): Timed[] {
  const timed: Timed[] = []
  let count = 0
  for (const [feed, { startS = 0, everyS, values }] of test.feed.entries()) {
    let place = 0
    for (const [which, entry] of values.entries()) {
      const cells = cellsOf(entry, isItem[feed] === true)
      const name = `feed ${feed + 1}, value ${which + 1}`
      if (cells === undefined)
        return refuseTest(test, `${name} is no number, null or {"value", "quality", "repeat"}`)
      count += cells.length
      if (count > CELLS_MAX) return refuseTest(test, `it feeds more than ${CELLS_MAX} values`)
      for (const cell of cells) {
        if (cell !== null) timed.push({ timeS: startS + place * everyS, feed, cell })
        place++
      }
    }
  }
  return timed.sort((one, other) => one.timeS - other.timeS)
}

/** A line of the board as a text; one of the station as `{ "host": "datum" }`. */
function lineOf(test: ChainTest, cell: Cell): RigRow['line'] {
  const given = 'item' in cell ? cell.item : undefined
  if (typeof given === 'string') return { from: 'device', text: given }
  const host = isFields(given) ? given['host'] : undefined
  if (typeof host === 'string') return { from: 'host', text: host }
  return refuseTest(test, 'a line is a text, or {"host": text} for one of the station')
}

/** Cells of one time share a row, but each line has its own. `source` is the feed of lines. */
export function rowsOf(test: ChainTest, timed: readonly Timed[], source: number): RigRow[] {
  const rows: { timeS: number; cells: Map<number, Cell>; line?: RigRow['line'] }[] = []
  for (const { timeS, feed, cell } of timed) {
    const last = rows.at(-1)
    const fits = last !== undefined && timeS - last.timeS < SAME_TIME_S && !last.cells.has(feed)
    const row = fits ? last : { timeS, cells: new Map<number, Cell>() }
    if (!fits) rows.push(row)
    row.cells.set(feed, cell)
    if (feed === source) row.line = lineOf(test, cell)
  }
  return rows as RigRow[]
}
