import type { Block, DeclaredPorts, Frame } from '../../../../server/chain/block.ts'
import { GOOD, type ItemColumn, NONE, type NumberColumn } from '../../../../server/chain/column.ts'

/** What stands in one row of one port: a number (good), a number with its quality, an item, or nothing. */
type Cell = unknown
/** Inputs by name, and `timeS`, the time of the row; seconds count up by one without it. */
export type Row = { timeS?: number } & Record<string, Cell>

export interface OutRow {
  readonly timeS: number
  /** Of the first number output. */
  readonly value: number
  readonly quality: number
  /** All outputs by name: numbers and items as they stand. */
  readonly all: Record<string, unknown>
  /** Of each number output by name. */
  readonly qualities: Record<string, number>
}

/** A number that is not good. */
export const flawed = (value: number, quality: number) => ({ value, quality })
export const nothing = { value: 0, quality: NONE }

/** One block by itself, row after row, as the engine would step it; batches of any size. */
export function oneBlock(block: Block, parameters: Record<string, unknown> = {}) {
  const filled = withDefaults(block, parameters)
  const memory = block.start(filled)
  const emitted: unknown[] = []
  let next = 0

  function feed(rows: readonly Row[]): OutRow[] {
    const timeS = Float64Array.from(rows, ({ timeS }) => timeS ?? next++)
    const frame = {
      in: columnsOf(block.inputs, timeS, rows),
      out: emptyColumns(block.outputs, block.setsTime ? new Float64Array(rows.length) : timeS),
      id: 'x',
      emit: (message: unknown) => emitted.push(message),
    } as unknown as Frame<DeclaredPorts, DeclaredPorts>
    block.step(frame, memory, filled, rows.length)
    if (block.latch) block.latch(frame, memory, filled, rows.length)
    return rows.map((_, row) => outRow(frame.out, row))
  }
  return { feed, emitted, memory }
}

function withDefaults(block: Block, given: Record<string, unknown>): Record<string, unknown> {
  const standard = Object.entries(block.parameters.properties).map(([name, schema]) => [
    name,
    (schema as { default?: unknown }).default,
  ])
  return { ...Object.fromEntries(standard), ...given }
}

function columnsOf(ports: DeclaredPorts, timeS: Float64Array, rows: readonly Row[]) {
  const columns = emptyColumns(ports, timeS)
  for (const [name, port] of Object.entries(ports))
    for (const [row, cells] of rows.entries())
      if (port.carries === 'item') putItem(columns[name] as ItemColumn<unknown>, row, cells[name])
      else putNumber(columns[name] as NumberColumn, row, cells[name])
  return columns
}

function putItem(column: ItemColumn<unknown>, row: number, cell: Cell): void {
  if (cell === undefined || cell === null) return
  column.items[row] = cell
  column.count++
}

function putNumber(column: NumberColumn, row: number, cell: Cell): void {
  if (cell === undefined) return
  const { value, quality } =
    typeof cell === 'number'
      ? { value: cell, quality: GOOD }
      : (cell as { value: number; quality: number })
  column.value[row] = value
  column.quality[row] = quality
}

function emptyColumns(ports: DeclaredPorts, timeS: Float64Array): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(ports).map(([name, port]) => [
      name,
      port.carries === 'item'
        ? { timeS, items: new Array(timeS.length).fill(null), count: 0 }
        : {
            timeS,
            // What a batch before left behind must never show: a value that no block may read.
            value: new Float64Array(timeS.length).fill(Number.NaN),
            quality: new Uint8Array(timeS.length).fill(NONE),
          },
    ]),
  )
}

function outRow(out: Record<string, unknown>, row: number): OutRow {
  const columns = Object.entries(out) as [string, NumberColumn | ItemColumn<unknown>][]
  const first = columns.map(([, column]) => column).find((column) => 'value' in column)
  return {
    timeS: columns[0]?.[1].timeS[row] ?? Number.NaN,
    value: first?.value[row] ?? Number.NaN,
    quality: first?.quality[row] ?? NONE,
    all: Object.fromEntries(
      columns.map(([name, column]) => [
        name,
        'items' in column ? column.items[row] : column.value[row],
      ]),
    ),
    qualities: Object.fromEntries(
      columns.flatMap(([name, column]) =>
        'items' in column ? [] : [[name, column.quality[row] ?? NONE]],
      ),
    ),
  }
}
