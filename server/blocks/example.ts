import type { Block, DeclaredPorts } from '../chain/block.ts'
import { BAD, GOOD, NONE, type Quality } from '../chain/column.ts'
import { type Cell, type RigRow, rigChain, type Seen } from '../chain/rig.ts'
import { SIGNALS, type SignalName, signalFor } from './example-signals.ts'
import { SHOWN, type Shown } from './example-table.ts'
import { link } from './link.ts'

const ROWS = 240
const RATE_HZ = 200
const TEXTS_MAX = 6
const TEXT_LENGTH_MAX = 240

/** What goes over one port in an example: numbers of each row (null: none), or items as text. */
interface ExamplePort {
  readonly name: string
  readonly values: readonly (number | null)[]
  /** By row: whether the value is bad. */
  readonly bad: readonly boolean[]
  readonly items: readonly { readonly timeS: number; readonly text: string }[]
}

export interface Example {
  readonly parameters: Readonly<Record<string, unknown>>
  readonly timeS: readonly number[]
  readonly inputs: readonly ExamplePort[]
  readonly outputs: readonly ExamplePort[]
  /** What an end of the chain hands on. */
  readonly told: readonly string[]
}

/** To four digits; counts to the last one. */
const rounded = (value: number) =>
  Math.abs(value) >= 1000 ? Math.round(value) : Number(value.toPrecision(4))
const empty = (name: string): ExamplePort => ({ name, values: [], bad: [], items: [] })

/** An item as text a person reads: without quotes round names, numbers as in the picture. */
function textOf(item: unknown): string {
  const text = typeof item === 'string' ? item : plainText(item)
  return text.length > TEXT_LENGTH_MAX ? `${text.slice(0, TEXT_LENGTH_MAX)}…` : text
}

function plainText(part: unknown): string {
  if (typeof part === 'number') return String(rounded(part))
  if (typeof part !== 'object' || part === null) return JSON.stringify(part) ?? 'undefined'
  if (Array.isArray(part)) return `[${part.map(plainText).join(', ')}]`
  const entries = Object.entries(part).map(([key, value]) => `${key}: ${plainText(value)}`)
  return `{${entries.join(', ')}}`
}

interface Made {
  readonly shown: Shown
  readonly timeS: readonly number[]
  readonly inputs: readonly string[]
  readonly unitOf: (port: string) => string | null
}

function numbersOf(port: string, unit: string, { shown, timeS }: Made): (number | null)[] {
  const name: SignalName = shown.signals?.[port] ?? signalFor(port, unit)
  return timeS.map((_, row) => SIGNALS[name](row / timeS.length, row))
}

function itemsOf(port: string, type: string, { shown, timeS }: Made): Map<number, unknown> {
  const given = shown.items?.[port] ?? (type === 'host-line' ? shown.commands : undefined) ?? []
  return new Map(given.map(([share, item]) => [Math.floor(share * timeS.length), item]))
}

const isLine = (ports: DeclaredPorts, name: string) =>
  ports[name]?.carries === 'item' && (ports[name] as { item: string }).item === 'raw-line'

function rowsOf(block: Block, made: Made) {
  const { shown, timeS, inputs } = made
  const lines = shown.lines ?? []
  const from = block.kind === 'command' ? ('host' as const) : ('device' as const)
  const feeds = inputs.filter((name) => !isLine(block.inputs, name))
  const columns = feeds.map((name) => {
    const port = block.inputs[name]
    if (port?.carries === 'item') return { name, items: itemsOf(name, port.item, made) }
    return { name, values: numbersOf(name, made.unitOf(name) ?? '1', made) }
  })
  const rows = timeS.map((time, row): RigRow => {
    const cells = new Map<number, Cell>()
    columns.forEach(({ values, items }, place) => {
      const value = values?.[row] ?? null
      if (value !== null) cells.set(place, { value, quality: GOOD })
      if (items?.has(row)) cells.set(place, { item: items.get(row) })
    })
    const text = lines[row]
    return { timeS: time, cells, ...(text !== undefined && { line: { from, text } }) }
  })
  const shownInputs = columns.map(
    ({ name, values, items }): ExamplePort => ({
      ...empty(name),
      values: (values ?? []).map((value) => (value === null ? null : rounded(value))),
      items: [...(items ?? [])].map(([row, item]) => ({
        timeS: timeS[row] ?? 0,
        text: textOf(item),
      })),
    }),
  )
  return { feeds, rows, shownInputs, lines }
}

function outputOf(name: string, seen: readonly Seen[], timeS: readonly number[]): ExamplePort {
  const numbers = seen.filter(({ item }) => item === undefined)
  if (numbers.length === 0)
    return {
      ...empty(name),
      items: seen
        .slice(0, TEXTS_MAX)
        .map(({ timeS: at, item }) => ({ timeS: rounded(at), text: textOf(item) })),
    }
  const values: (number | null)[] = timeS.map(() => null)
  const qualities: Quality[] = timeS.map(() => NONE)
  let row = 0
  for (const { timeS: at, value, quality } of numbers) {
    while (row < timeS.length - 1 && (timeS[row] ?? 0) < at - 1e-9) row++
    values[row] = rounded(value)
    qualities[row] = quality
  }
  return { ...empty(name), values, bad: qualities.map((quality) => quality === BAD) }
}

/**
 * What a block makes of a test signal, run as in a chain.
 * @throws ChainRefused for one that cannot run so.
 */
export function exampleOf(block: Block, unitOf: Made['unitOf']): Example {
  const shown = SHOWN[block.kind] ?? {}
  const { parameters = {}, rateHz = RATE_HZ, lines, without = [] } = shown
  const count = lines === undefined ? ROWS : lines.length
  const timeS = Array.from({ length: count }, (_, row) => rounded(row / rateHz))
  const inputs = Object.keys(block.inputs).filter((name) => !without.includes(name))
  const { feeds, rows, shownInputs } = rowsOf(block, { shown, timeS, inputs, unitOf })
  const isSource = block.kind === link.kind
  const id = isSource ? 'link' : 'shown'
  const rig = rigChain(
    {
      ...{ format: 'overbend-chain', version: 1, name: 'example', revision: 1 },
      blocks: [
        { id: 'link', kind: 'link' },
        ...(isSource ? [] : [{ id, kind: block.kind, parameters: { ...parameters } }]),
      ],
      connections: inputs
        .filter((name) => isLine(block.inputs, name))
        .map((name) => ({ from: 'link.line', to: `${id}.${name}` })),
    },
    isSource ? [link] : [link, block],
    {
      feeds: feeds.map((name) => `${id}.${name}`),
      probes: Object.keys(block.outputs).map((name) => `${id}.${name}`),
      keep: [id],
    },
  )
  const told: string[] = []
  if (block.outlet !== undefined)
    rig.on(block.outlet, (message) => {
      if (told.length < TEXTS_MAX) told.push(textOf(message))
    })
  const seen = rig.run(rows)
  return {
    parameters,
    timeS,
    inputs: [
      ...inputs
        .filter((name) => isLine(block.inputs, name))
        .map((name) => ({
          ...empty(name),
          items: rows.flatMap(({ timeS: at, line }) =>
            line === undefined ? [] : [{ timeS: at, text: line.text }],
          ),
        })),
      ...shownInputs,
    ],
    outputs: Object.keys(block.outputs).map((name, probe) =>
      outputOf(
        name,
        seen.filter((one) => one.probe === probe),
        timeS,
      ),
    ),
    told,
  }
}
