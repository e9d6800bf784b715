import { ChainRefused } from './chain-refused.ts'
import { newQueue } from './least-first.ts'
import type { PlannedBlock } from './plan.ts'

/**
 * The order in which blocks are stepped: each after all that its inputs come from; among equals, as in the
 * file. A block that delays waits for nothing, since its outputs come from its memory.
 * @throws ChainRefused `loop`, naming a block and an input on it, where no block on a loop delays.
 */
export function stepOrder(blocks: readonly PlannedBlock[]): number[] {
  const order: number[] = []
  const waiting = blocks.map(({ block, inputs }) => (block.delays ? 0 : inputs.size))
  const readers = readersOf(blocks)
  const ready = newQueue()
  for (const [place, count] of waiting.entries()) if (count === 0) ready.add(place)
  for (let next = ready.take(); next !== undefined; next = ready.take()) {
    order.push(next)
    for (const reader of readers[next] ?? []) {
      const left = (waiting[reader] ?? 0) - 1
      waiting[reader] = left
      if (left === 0) ready.add(reader)
    }
  }
  if (order.length < blocks.length) throw loopRefused(blocks, new Set(order))
  return order
}

/** Of each block those that wait for it, once for each of their inputs. */
function readersOf(blocks: readonly PlannedBlock[]): number[][] {
  const readers: number[][] = blocks.map(() => [])
  for (const [place, { block, inputs }] of blocks.entries())
    for (const source of block.delays ? [] : inputs.values()) readers[source.block]?.push(place)
  return readers
}

/** The first input whose block has no place yet. */
function waitsFor({ block, inputs }: PlannedBlock, placed: ReadonlySet<number>) {
  if (block.delays) return undefined
  for (const [port, source] of inputs)
    if (!placed.has(source.block)) return { port, block: source.block }
  return undefined
}

/** Each block without a place waits for another such: going from one to the next must end in a circle. */
function loopRefused(blocks: readonly PlannedBlock[], placed: ReadonlySet<number>): ChainRefused {
  const path: { id: string; place: number; port: string }[] = []
  let place = blocks.findIndex((_, candidate) => !placed.has(candidate))
  while (!path.some((step) => step.place === place)) {
    const planned = blocks[place]
    const waits = planned && waitsFor(planned, placed)
    if (planned === undefined || waits === undefined) throw new Error('a loop must be closed')
    path.push({ id: planned.id, place, port: waits.port })
    place = waits.block
  }
  const loop = path.slice(path.findIndex((step) => step.place === place)).reverse()
  const ids = loop.map(({ id }) => id)
  const sentence = `${[...ids, ids[0]].join(' → ')} is a loop; put a "delay" block into it.`
  const last = loop.at(-1)
  return new ChainRefused('loop', sentence, last && { block: last.id, port: last.port })
}
