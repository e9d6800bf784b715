import { map, Subject } from 'rxjs'
import { link } from '../../server/blocks/link.ts'
import { defineBlock, number } from '../../server/chain/block.ts'
import { type Chain, compileChain } from '../../server/chain/chain.ts'
import { GOOD } from '../../server/chain/column.ts'
import type { RawLine } from '../../server/chain/raw-line.ts'
import { strict } from '../../server/chain/strict.ts'

/** Blocks that do one multiplication and one addition: what is measured is the way between the blocks. */
const inward = defineBlock({
  kind: 'inward',
  summary: 'A number for each line.',
  parameters: strict({}),
  inputs: { line: link.outputs.line },
  outputs: { value: number('1', 'The arrival.') },
  start: () => ({}),
  step({ in: { line }, out: { value } }, _memory, _parameters, rows) {
    for (let row = 0; row < rows; row++) {
      value.value[row] = line.timeS[row]!
      value.quality[row] = GOOD
    }
  },
})

const relay = defineBlock({
  kind: 'relay',
  summary: 'Passes on.',
  parameters: strict({}),
  inputs: { value: number('1', 'In.') },
  outputs: { value: number('1', 'Out.') },
  start: () => ({}),
  step(frame, _memory, _parameters, rows) {
    const { value } = frame.in.value
    const { value: out } = frame.out.value
    for (let row = 0; row < rows; row++) out[row] = passOn(value[row]!)
    // What a column is good for: quality that stays as it is goes over in one copy.
    frame.out.value.quality.set(frame.in.value.quality)
  },
})

const outward = defineBlock({
  kind: 'outward',
  summary: 'The last value of a batch.',
  parameters: strict({}),
  inputs: { value: number('1', 'In.') },
  outputs: {},
  outlet: 'last',
  start: () => ({}),
  step({ in: { value }, emit }, _memory, _parameters, rows) {
    emit(value.value[rows - 1])
  },
})

/** Little arithmetic, without memory: a memory would make the processor wait for itself and measure that. */
const passOn = (value: number) => value * 0.999 + 0.1

/** Compiles a chain of so many relays. */
export function compileRelays(length: number): Chain {
  const ids = Array.from({ length }, (_, nth) => `relay-${nth}`)
  const way = ['inward', ...ids, 'outward']
  const kinds = ['inward', ...ids.map(() => 'relay'), 'outward']
  return compileChain(
    {
      format: 'overbend-chain',
      version: 1,
      name: 'relays',
      revision: 1,
      blocks: [{ id: 'link', kind: 'link' }, ...way.map((id, n) => ({ id, kind: kinds[n] }))],
      connections: way.map((id, n) =>
        n === 0
          ? { from: 'link.line', to: `${id}.line` }
          : { from: `${way[n - 1]}.value`, to: `${id}.value` },
      ),
    },
    [link, inward, relay, outward],
  )
}

/** A chain of so many relays. @returns the last value of a run. */
export function relayChain(length: number): (lines: readonly RawLine[]) => number {
  const chain = compileRelays(length)
  let last = 0
  chain.on('last', (message) => {
    last = message as number
  })
  return (lines) => {
    chain.push(lines)
    return last
  }
}

/** The same in RxJS: an operator for each relay, and an object for value and quality. */
export function relayRxjs(length: number): (lines: readonly RawLine[]) => number {
  const lines = new Subject<RawLine>()
  let way = lines.pipe(map(({ arrivalS }) => ({ timeS: arrivalS, value: arrivalS, quality: GOOD })))
  for (let nth = 0; nth < length; nth++)
    way = way.pipe(map(({ timeS, value, quality }) => ({ timeS, value: passOn(value), quality })))
  let last = 0
  way.subscribe(({ value }) => {
    last = value
  })
  return (batch) => {
    for (const line of batch) lines.next(line)
    return last
  }
}

/** The same as one loop. */
export function relayFused(length: number): (lines: readonly RawLine[]) => number {
  return (lines) => {
    let value = 0
    for (const { arrivalS } of lines) {
      value = arrivalS
      for (let nth = 0; nth < length; nth++) value = passOn(value)
    }
    return value
  }
}
