import { type Block, type DeclaredPorts, defineBlock, item, type Port } from './block.ts'
import { type Chain, compileChain } from './chain.ts'
import type { ChainFile } from './chain-file.ts'
import { ChainRefused } from './chain-refused.ts'
import { findEnd, planBlocks, SOURCE_KIND } from './check.ts'
import { GOOD, type ItemColumn, NONE, type NumberColumn, type Quality } from './column.ts'
import type { RawLine } from './raw-line.ts'
import { strict } from './strict.ts'

const IN = 'rig-in'
const OUT = 'rig-out'
/** Fewer than a chain lets wait. */
const ROWS_A_PUSH = 8192

/** What goes into a port in one row: a number with its quality, or an item. */
export type Cell =
  | { readonly value: number; readonly quality: Quality }
  | { readonly item: unknown }

/** One row: its time, and what goes in, by the place of the port in `feeds`. Without a line an empty one is made. */
export interface RigRow {
  readonly timeS: number
  readonly cells: ReadonlyMap<number, Cell>
  readonly line?: Pick<RawLine, 'from' | 'text'>
}

/** What came out at one probe. `item` is undefined where numbers do. */
export interface Seen {
  readonly probe: number
  readonly timeS: number
  readonly value: number
  readonly quality: Quality
  readonly item: unknown
}

interface Rig {
  /** Inputs that are fed, in place of what they are connected to. `link.line` needs no place here. */
  readonly feeds: readonly string[]
  /** Outputs that are looked at. */
  readonly probes: readonly string[]
  /** Blocks that are kept though no probe needs them. */
  readonly keep?: readonly string[]
}

export interface RiggedChain extends Pick<Chain, 'on'> {
  readonly feedTypes: readonly Port[]
  readonly probeTypes: readonly Port[]
  run(rows: readonly RigRow[]): Seen[]
}

type FeedType = Port & { readonly of?: unknown }

/** The block that puts values in, a row each, in the order in which they are pushed. */
function feeder(types: readonly FeedType[], rows: () => readonly RigRow[]): Block {
  return defineBlock({
    kind: IN,
    summary: 'Feeds a chain on trial.',
    parameters: strict({}),
    inputs: { line: item<RawLine>('raw-line', 'Lines.') },
    outputs: portsOf(types),
    setsTime: true,
    start: () => ({ next: 0 }),
    step({ in: { line }, out }, memory, _, count) {
      const given = rows()
      for (let row = 0; row < count; row++) {
        const cells = given[memory.next++]?.cells
        for (const [name, column] of Object.entries(out) as [string, Column][]) {
          column.timeS[row] = line.timeS[row] as number
          put(column, row, cells?.get(placeOf(name)))
        }
      }
    },
  }) as unknown as Block
}

type Column = NumberColumn | ItemColumn<unknown>

function put(column: Column, row: number, cell: Cell | undefined): void {
  if ('items' in column) {
    if (cell === undefined || !('item' in cell)) return
    column.items[row] = cell.item
    column.count++
    return
  }
  const isNumber = cell !== undefined && 'value' in cell
  column.value[row] = isNumber ? cell.value : 0
  column.quality[row] = isNumber ? cell.quality : NONE
}

/** The block that tells what comes. */
function prober(types: readonly Port[]): Block {
  return defineBlock({
    kind: OUT,
    summary: 'Looks at a chain on trial.',
    parameters: strict({}),
    inputs: portsOf(types),
    outputs: {},
    outlet: OUT,
    start: () => ({}),
    step(frame, _memory, _parameters, count) {
      for (const [name, column] of Object.entries(frame.in) as [string, Column][])
        for (let row = 0; row < count; row++) {
          const seen = look(column, row, placeOf(name))
          if (seen !== null) frame.emit(seen)
        }
    },
  }) as unknown as Block
}

function look(column: Column, row: number, probe: number): Seen | null {
  const timeS = column.timeS[row] as number
  if ('items' in column) {
    const held = column.items[row]
    if (held === null) return null
    return { probe, timeS, value: 0, quality: GOOD, item: held }
  }
  const quality = column.quality[row] as Quality
  if (quality === NONE) return null
  return { probe, timeS, value: column.value[row] as number, quality, item: undefined }
}

const portName = (place: number) => `p${place}`
const placeOf = (name: string) => Number(name.slice(1))
const portsOf = (types: readonly Port[]): DeclaredPorts =>
  Object.fromEntries(types.map((type, place) => [portName(place), type]))

const idOf = (end: string) => end.slice(0, end.indexOf('.'))

/** Of the connections, those that the kept blocks hang by; what is fed is cut off from what was before it. */
function cutOut({ blocks, connections }: ChainFile, { feeds, probes, keep = [] }: Rig) {
  const open = connections.filter(({ to }) => !feeds.includes(to))
  const kept = new Set<string>()
  const waiting = [...probes.map(idOf), ...keep]
  for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
    if (kept.has(id)) continue
    kept.add(id)
    for (const { from, to } of open) if (idOf(to) === id) waiting.push(idOf(from))
  }
  return {
    kept,
    blocks: blocks.filter(({ id, kind }) => kept.has(id) || kind === SOURCE_KIND),
    connections: open.filter(({ to }) => kept.has(idOf(to))),
  }
}

/**
 * As much of a chain as its probes hang by, with values put in at some of its inputs. Compiled as any other.
 * @throws ChainRefused with the block and port at fault.
 */
export function rigChain(file: ChainFile, catalogue: readonly Block[], rig: Rig): RiggedChain {
  const planned = planBlocks(file, catalogue)
  const places = new Map(planned.map(({ id }, place) => [id, place]))
  const feedTypes = rig.feeds.map((end) => findEnd(end, 'inputs', planned, places).type)
  const probeTypes = rig.probes.map((end) => findEnd(end, 'outputs', planned, places).type)
  const { kept, blocks, connections } = cutOut(file, rig)
  const idle = rig.feeds.find((end) => !kept.has(idOf(end)))
  if (idle !== undefined)
    throw new ChainRefused('bad test', `Nothing that is looked at hangs by ${idle}.`, {
      block: idOf(idle),
      port: idle.slice(idle.indexOf('.') + 1),
    })
  const [inId, outId] = [freeId(file, IN), freeId(file, OUT)]
  const source = planned.find(({ block }) => block.kind === SOURCE_KIND)?.id
  let rows: readonly RigRow[] = []
  const chain = compileChain(
    {
      ...file,
      blocks: [...blocks, { id: inId, kind: IN }, { id: outId, kind: OUT }],
      connections: [
        ...connections,
        { from: `${source}.line`, to: `${inId}.line` },
        ...rig.feeds.map((to, place) => ({ from: `${inId}.${portName(place)}`, to })),
        ...rig.probes.map((from, place) => ({ from, to: `${outId}.${portName(place)}` })),
      ],
    },
    [...catalogue, feeder(feedTypes, () => rows), prober(probeTypes)],
  )
  const seen: Seen[] = []
  chain.on(OUT, (message) => seen.push(message as Seen))
  return {
    feedTypes,
    probeTypes,
    on: chain.on,
    run(given) {
      rows = given
      for (let from = 0; from < given.length; from += ROWS_A_PUSH)
        chain.push(given.slice(from, from + ROWS_A_PUSH).map(lineOf))
      return seen
    },
  }
}

const lineOf = ({ timeS, line }: RigRow): RawLine => ({
  arrivalS: timeS,
  from: line?.from ?? 'host',
  text: line?.text ?? '',
})

function freeId({ blocks }: ChainFile, wanted: string): string {
  let id = wanted
  for (let number = 2; blocks.some((block) => block.id === id); number++) id = `${wanted}-${number}`
  return id
}
