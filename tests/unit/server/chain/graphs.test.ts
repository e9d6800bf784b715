import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type Chain, compileChain } from '../../../../server/chain/chain.ts'
import { GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import type { RawLine } from '../../../../server/chain/raw-line.ts'
import { linesOf, type Probed, type ToyFile, toys } from './toy-blocks.ts'

/** A node of a random graph; sources are places of nodes, −1 the numbers of the lines. */
interface Node {
  kind: 'sum' | 'gain' | 'total' | 'delay'
  a: number
  b: number
  number: number
}

const node = (place: number, count: number) => {
  // Only a delay may look ahead or at itself: so every loop passes through one.
  const before = fc.integer({ min: -1, max: place - 1 })
  const anywhere = fc.integer({ min: -1, max: count - 1 })
  const rest = { b: before, number: fc.integer({ min: 1, max: 9 }) }
  return fc.oneof(
    {
      weight: 4,
      arbitrary: fc.record({
        kind: fc.constantFrom('sum' as const, 'gain' as const, 'total' as const),
        a: before,
        ...rest,
      }),
    },
    {
      weight: 1,
      arbitrary: fc.record({ kind: fc.constant('delay' as const), a: anywhere, ...rest }),
    },
  )
}

const graph = fc
  .integer({ min: 1, max: 10 })
  .chain((count) => fc.tuple(...Array.from({ length: count }, (_, place) => node(place, count))))

const texts = fc.array(
  fc.oneof(
    fc.double({ min: -3, max: 3, noNaN: true }).map((value) => value.toFixed(6)),
    fc.double({ min: -3, max: 3, noNaN: true }).map((value) => `${value.toFixed(6)}?`),
    fc.constant('no number'),
  ),
  { maxLength: 700 },
)

function fileOf(nodes: readonly Node[], backwards: boolean): ToyFile {
  const end = (place: number) => (place < 0 ? 'parse.value' : `n${place}.value`)
  const blocks = nodes.flatMap(({ kind, number }, place) => [
    { id: `n${place}`, kind, parameters: parametersOf(kind, number) },
    { id: `p${place}`, kind: 'probe', parameters: { name: `${place}` } },
  ])
  const connections = nodes.flatMap(({ kind, a, b }, place) => [
    { from: end(a), to: `n${place}.a` },
    ...(kind === 'sum' ? [{ from: end(b), to: `n${place}.b` }] : []),
    { from: end(place), to: `p${place}.a` },
  ])
  const all = [{ id: 'link', kind: 'link' }, { id: 'parse', kind: 'parse' }, ...blocks]
  return {
    format: 'overbend-chain',
    version: 1,
    name: 'random',
    revision: 1,
    blocks: backwards ? all.reverse() : all,
    connections: [{ from: 'link.line', to: 'parse.line' }, ...connections],
  }
}

function parametersOf(kind: Node['kind'], number: number): Record<string, unknown> {
  if (kind === 'gain') return { factor: number / 8 }
  return kind === 'delay' ? { initial: number } : {}
}

/** What the graph means, row by row and value by value, without columns, batches or a compiled order. */
function naive(nodes: readonly Node[], lines: readonly RawLine[]): string[] {
  const sums = nodes.map(() => -0)
  const held = nodes.map(({ number }) => ({ value: number, quality: UNCERTAIN as number }))
  return lines.map(({ text }) => {
    const known = new Map<number, { value: number; quality: number }>()
    const outputOf = (place: number): { value: number; quality: number } => {
      const value = known.get(place) ?? (place < 0 ? parsed(text) : evaluate(place, nodes[place]!))
      known.set(place, value)
      return value
    }
    const evaluate = (place: number, { kind, a, b, number }: Node) => {
      if (kind === 'delay') return { ...held[place]! }
      const first = outputOf(a)
      if (kind === 'gain') return { value: first.value * (number / 8), quality: first.quality }
      if (kind === 'total') {
        if (first.quality !== NONE) sums[place]! += first.value
        return { value: sums[place]!, quality: first.quality }
      }
      const second = outputOf(b)
      const quality = Math.max(first.quality, second.quality)
      return { value: first.value + second.value, quality }
    }
    const row = nodes.map((_, place) => shown(outputOf(place)))
    const next = nodes.map(({ a }) => outputOf(a))
    next.forEach((value, place) => {
      if (nodes[place]!.kind === 'delay' && value.quality !== NONE) held[place] = { ...value }
    })
    return row.join(' ')
  })
}

function parsed(text: string) {
  const value = Number(text.replace('?', ''))
  if (Number.isNaN(value)) return { value: 0, quality: NONE as number }
  return { value, quality: (text.endsWith('?') ? UNCERTAIN : GOOD) as number }
}

const shown = ({ value, quality }: { value: number; quality: number }) =>
  quality === NONE ? 'none' : `${Object.is(value, -0) ? '-0' : value}/${quality}`

/** Runs the lines in the given splits; per row, what all probes showed. */
function engine(chain: Chain, lines: readonly RawLine[], splits: readonly number[]): string[] {
  const columns = new Map<string, string[]>()
  const leave = chain.on('probe', (message) => {
    const { probe, ...value } = message as Probed
    const column = columns.get(probe) ?? []
    columns.set(probe, column)
    column.push(shown(value))
  })
  let from = 0
  for (const size of splits) {
    chain.push(lines.slice(from, from + size))
    from += size
  }
  chain.push(lines.slice(from))
  leave()
  const places = [...columns.keys()].sort((a, b) => Number(a) - Number(b))
  return lines.map((_, row) => places.map((place) => columns.get(place)?.[row]).join(' '))
}

const sizes = fc.array(fc.integer({ min: 0, max: 300 }), { maxLength: 20 })
const SEED = 4711

test(`any graph gives what its meaning is, however the lines are split (seed ${SEED})`, () => {
  fc.assert(
    fc.property(graph, texts, sizes, fc.boolean(), (nodes, given, splits, backwards) => {
      const lines = linesOf(given)
      const chain = compileChain(fileOf(nodes, backwards), toys)
      expect(engine(chain, lines, splits)).toEqual(naive(nodes, lines))
    }),
    { seed: SEED, numRuns: 200 },
  )
}, 60_000)

test(`a chain restored at any line goes on bit for bit (seed ${SEED})`, () => {
  fc.assert(
    fc.property(graph, texts, sizes, fc.nat(700), (nodes, given, splits, cut) => {
      const lines = linesOf(given)
      const file = fileOf(nodes, false)
      const first = compileChain(file, toys)
      const head = engine(first, lines.slice(0, cut), splits)
      const second = compileChain(file, toys)
      second.restore(first.snapshot())
      const tail = engine(second, lines.slice(cut), splits)
      expect([...head, ...tail]).toEqual(naive(nodes, lines))
    }),
    { seed: SEED, numRuns: 100 },
  )
}, 60_000)
