import type { Frame, Port, Ports } from './block.ts'
import { type ItemColumn, NONE, type NumberColumn } from './column.ts'
import type { PlannedBlock } from './plan.ts'

type Column = NumberColumn | ItemColumn<unknown>
type Columns = Record<string, Column>
/** A block's columns before `emit` is added. */
export type BoundColumns = Pick<Frame<Ports, Ports>, 'in' | 'out'>

/**
 * All columns of a chain, made once: no batch allocates. A block's outputs share the time array of its first
 * connected number input, else of its first input, so that a value keeps the time of its source for nothing.
 */
export function makeColumns(
  blocks: readonly PlannedBlock[],
  order: readonly number[],
  rowsMax: number,
): BoundColumns[] {
  const outputs: Columns[] = blocks.map(() => ({}))
  for (const place of order) {
    const planned = blocks[place]
    if (planned === undefined) throw new Error(`the order names no block ${place}`)
    const timeS = sharedTime(planned, outputs) ?? new Float64Array(rowsMax)
    outputs[place] = makeOutputs(planned.block.outputs, timeS, rowsMax)
  }
  const unconnected = new Float64Array(rowsMax)
  return blocks.map(({ block, inputs }, place) => ({
    in: Object.fromEntries(
      Object.entries(block.inputs).map(([name, port]) => {
        const source = inputs.get(name)
        const column = source && outputs[source.block]?.[source.port]
        return [name, column ?? makeColumn(port, unconnected, rowsMax)]
      }),
    ),
    out: outputs[place] ?? {},
  })) as BoundColumns[]
}

function sharedTime({ block, inputs }: PlannedBlock, outputs: readonly Columns[]) {
  if (block.setsTime) return undefined
  const connected = Object.entries(block.inputs).filter(([name]) => inputs.has(name))
  const first = connected.find(([, port]) => port.carries === 'number') ?? connected[0]
  const source = first && inputs.get(first[0])
  return source && outputs[source.block]?.[source.port]?.timeS
}

const makeOutputs = (ports: Ports, timeS: Float64Array, rowsMax: number): Columns =>
  Object.fromEntries(
    Object.entries(ports).map(([name, port]) => [name, makeColumn(port, timeS, rowsMax)]),
  )

function makeColumn(port: Port, timeS: Float64Array, rowsMax: number): Column {
  if (port.carries === 'item') return { timeS, items: new Array(rowsMax).fill(null), count: 0 }
  return {
    timeS,
    value: new Float64Array(rowsMax),
    quality: new Uint8Array(rowsMax).fill(NONE),
  }
}
