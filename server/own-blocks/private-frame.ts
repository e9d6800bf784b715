import type { Block, DeclaredPorts, Frame } from '../chain/block.ts'
import { BAD, type ItemColumn, NONE, type NumberColumn } from '../chain/column.ts'

type Column = NumberColumn | ItemColumn<unknown>
type Columns = Readonly<Record<string, Column>>
export type AnyFrame = Frame<DeclaredPorts, DeclaredPorts>

/** Copies of a frame's columns for one block alone: whatever it does to them, the chain's own stay whole. */
export interface PrivateFrame {
  readonly frame: AnyFrame
  /** Copies what came; the outputs are empty then. */
  take(rows: number): void
  /** Copies what was made. @returns whether a value was none, or its quality. */
  give(rows: number): boolean
  /** Instead of `give`: whatever came in gives bad values. */
  spoil(rows: number): void
}

const isItems = (column: Column): column is ItemColumn<unknown> => 'items' in column

function copyOf(column: Column): Column {
  const timeS = new Float64Array(column.timeS.length)
  if (!isItems(column))
    return Object.freeze({
      timeS,
      value: new Float64Array(timeS.length),
      quality: new Uint8Array(timeS.length).fill(NONE),
    })
  const items = new Array<unknown>(timeS.length).fill(null)
  const copy = { timeS, items, count: 0 }
  Object.defineProperty(copy, 'items', { value: items, writable: false })
  return Object.seal(copy)
}

function refill(to: Column, from: Column): void {
  to.timeS.set(from.timeS)
  if (isItems(to) && isItems(from)) {
    to.items.length = from.items.length
    for (let row = 0; row < from.items.length; row++) to.items[row] = from.items[row]
    to.count = from.count
  } else if (!isItems(to) && !isItems(from)) {
    to.value.set(from.value)
    to.quality.set(from.quality)
  }
}

function clear(to: Column, from: Column): void {
  to.timeS.set(from.timeS)
  if (isItems(to)) {
    to.items.length = to.timeS.length
    to.items.fill(null)
    to.count = 0
    return
  }
  to.value.fill(0)
  to.quality.fill(NONE)
}

function handOver(to: Column, from: Column, rows: number): boolean {
  if (isItems(to)) return handOverItems(to, (from as ItemColumn<unknown>).items, rows)
  const { value, quality } = from as NumberColumn
  let isWrong = false
  for (let row = 0; row < rows; row++) {
    const given = quality[row] as number
    const isKnown = given <= NONE
    const isSound = given === NONE || Number.isFinite(value[row])
    to.value[row] = isSound ? (value[row] as number) : 0
    to.quality[row] = isKnown && isSound ? given : BAD
    if (!isKnown || (!isSound && given !== BAD)) isWrong = true
  }
  return isWrong
}

function handOverItems(to: ItemColumn<unknown>, items: readonly unknown[], rows: number): boolean {
  for (let row = 0; row < rows; row++) {
    const given = items[row] ?? null
    if (given === null) continue
    to.items[row] = given
    to.count++
  }
  return false
}

const refuseToEmit = () => {
  throw new Error('it has no outlet to emit to')
}

export function makePrivateFrame(real: AnyFrame, { inputs, outputs }: Block): PrivateFrame {
  const realIn = real.in as Columns
  const realOut = real.out as Columns
  const copies = (ports: DeclaredPorts, from: Columns) =>
    Object.freeze(
      Object.fromEntries(Object.keys(ports).map((name) => [name, copyOf(from[name] as Column)])),
    )
  const [mineIn, mineOut] = [copies(inputs, realIn), copies(outputs, realOut)]
  const ins = Object.keys(inputs).map(
    (name) => [mineIn[name] as Column, realIn[name] as Column] as const,
  )
  const outs = Object.keys(outputs).map(
    (name) => [mineOut[name] as Column, realOut[name] as Column] as const,
  )
  const has = (column: Column, row: number) =>
    isItems(column) ? column.items[row] !== null : column.quality[row] !== NONE
  return {
    frame: Object.freeze({ in: mineIn, out: mineOut, emit: refuseToEmit }) as unknown as AnyFrame,
    take() {
      for (const [mine, from] of ins) refill(mine, from)
      for (const [mine, from] of outs) clear(mine, from)
    },
    give: (rows) => outs.map(([mine, to]) => handOver(to, mine, rows)).some((isWrong) => isWrong),
    spoil(rows) {
      for (const [, to] of outs) {
        if (isItems(to)) continue
        for (let row = 0; row < rows; row++) {
          to.value[row] = 0
          to.quality[row] = ins.some(([, from]) => has(from, row)) ? BAD : NONE
        }
      }
    },
  }
}
