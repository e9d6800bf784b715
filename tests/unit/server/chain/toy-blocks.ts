import { Type } from 'typebox'
import { type Block, defineBlock, item, number } from '../../../../server/chain/block.ts'
import { GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import type { RawLine } from '../../../../server/chain/raw-line.ts'
import { strict } from '../../../../server/chain/strict.ts'
import {
  rateUnitFrom,
  UNITS_WITH_RATE,
  unitFrom,
  unitParameter,
} from '../../../../server/chain/unit.ts'

/** Blocks that do next to nothing, so that the engine can be tested without a bend in sight. */
const line = item<RawLine>('raw-line', 'Lines.')

const link = defineBlock({
  kind: 'link',
  summary: 'Lines come in.',
  parameters: strict({}),
  inputs: {},
  outputs: { line },
  start: () => ({}),
  step() {},
})

/** `7` is a good 7, `7?` an uncertain one; any other line is no value. */
const parse = defineBlock({
  kind: 'parse',
  summary: 'Numbers out of lines.',
  parameters: strict({}),
  inputs: { line },
  outputs: { value: number('1', 'The number.') },
  start: () => ({}),
  step({ in: { line: lines }, out: { value } }, _memory, _parameters, rows) {
    for (let row = 0; row < rows; row++) {
      const match = /^(-?[0-9.e-]+)(\??)$/.exec(lines.items[row]?.text ?? '')
      value.value[row] = match ? Number(match[1]) : 0
      value.quality[row] = match ? (match[2] ? UNCERTAIN : GOOD) : NONE
    }
  },
})

const sum = defineBlock({
  kind: 'sum',
  summary: 'Adds.',
  parameters: strict({}),
  inputs: { a: number('1', 'First.'), b: number('1', 'Second.') },
  outputs: { value: number('1', 'Sum.') },
  optional: ['b'],
  start: () => ({}),
  step({ in: { a, b }, out: { value } }, _memory, _parameters, rows) {
    for (let row = 0; row < rows; row++) {
      value.value[row] = a.value[row]! + b.value[row]!
      value.quality[row] = Math.max(a.quality[row]!, b.quality[row]!)
    }
  },
})

const gain = defineBlock({
  kind: 'gain',
  summary: 'Multiplies.',
  parameters: strict({ factor: Type.Number({ default: 2, minimum: -10, maximum: 10 }) }),
  inputs: { a: number('1', 'Value.') },
  outputs: { value: number('1', 'Product.') },
  start({ factor }) {
    if (factor === 0) throw new RangeError('a factor of 0 makes nothing.')
    return {}
  },
  step({ in: { a }, out: { value } }, _memory, { factor }, rows) {
    for (let row = 0; row < rows; row++) {
      value.value[row] = a.value[row]! * factor
      value.quality[row] = a.quality[row]!
    }
  },
})

/** Running total, and an item at each value that takes it over a hundred. */
const total = defineBlock({
  kind: 'total',
  summary: 'Adds up.',
  parameters: strict({}),
  inputs: { a: number('1', 'Value.') },
  outputs: { value: number('1', 'Total.'), over: item<number>('over', 'Beyond a hundred.') },
  start: () => ({ sum: -0 }),
  step({ in: { a }, out: { value, over } }, memory, _parameters, rows) {
    for (let row = 0; row < rows; row++) {
      if (a.quality[row] !== NONE) memory.sum += a.value[row]!
      value.value[row] = memory.sum
      value.quality[row] = a.quality[row]!
      if (a.quality[row] === NONE || !(memory.sum > 100)) continue
      over.items[row] = memory.sum
      over.count++
    }
  },
})

const toyDelay = defineBlock({
  kind: 'delay',
  summary: 'One value late.',
  parameters: strict({ initial: Type.Number({ default: 0 }) }),
  inputs: { a: number('1', 'Value.') },
  outputs: { value: number('1', 'The one before.') },
  setsTime: true,
  delays: true,
  start: ({ initial }) => ({ value: initial, quality: UNCERTAIN as number, timeS: 0 }),
  step({ out: { value } }, memory) {
    value.timeS[0] = memory.timeS
    value.value[0] = memory.value
    value.quality[0] = memory.quality
  },
  latch({ in: { a } }, memory) {
    if (a.quality[0] === NONE) return
    memory.value = a.value[0]!
    memory.quality = a.quality[0]!
    memory.timeS = a.timeS[0]!
  },
})

/** Half the time of its input. */
const hasten = defineBlock({
  kind: 'hasten',
  summary: 'Sets time.',
  parameters: strict({}),
  inputs: { a: number('1', 'Value.') },
  outputs: { value: number('1', 'Same.') },
  setsTime: true,
  start: () => ({}),
  step({ in: { a }, out: { value } }, _memory, _parameters, rows) {
    for (let row = 0; row < rows; row++) {
      value.timeS[row] = a.timeS[row]! / 2
      value.value[row] = a.value[row]!
      value.quality[row] = a.quality[row]!
    }
  },
})

const toDegrees = defineBlock({
  kind: 'to-degrees',
  summary: 'A pure number called degrees.',
  parameters: strict({}),
  inputs: { a: number('1', 'Value.') },
  outputs: { angle: number('deg', 'Angle.') },
  start: () => ({}),
  step() {},
})

/** Its ports carry what its parameter says; its second input is needed when so told. */
const carry = defineBlock({
  kind: 'carry',
  summary: 'Hands on.',
  parameters: strict({
    unit: unitParameter(UNITS_WITH_RATE, '1', 'Unit of what is carried.'),
    two: Type.Boolean({ default: false }),
  }),
  inputs: { a: number(unitFrom('unit'), 'Value.'), b: number('1', 'Another.') },
  outputs: {
    value: number(unitFrom('unit'), 'Same.'),
    rate: number(rateUnitFrom('unit'), 'Rate.'),
  },
  optional: ['b'],
  needs: ({ two }) => (two ? ['b'] : []),
  start: () => ({}),
  step({ in: { a }, out: { value, rate } }, _memory, _parameters, rows) {
    for (let row = 0; row < rows; row++) {
      value.value[row] = a.value[row]!
      value.quality[row] = a.quality[row]!
      rate.quality[row] = NONE
    }
  },
})

export interface Probed {
  readonly probe: string
  readonly timeS: number
  readonly value: number
  readonly quality: number
  readonly over: number | null
}

const probe = defineBlock({
  kind: 'probe',
  summary: 'Shows each row.',
  parameters: strict({ name: Type.String({ default: '' }) }),
  inputs: { a: number('1', 'Value.'), over: item<number>('over', 'Beyond a hundred.') },
  outputs: {},
  optional: ['over'],
  outlet: 'probe',
  start: () => ({}),
  step({ in: { a, over }, emit }, _memory, { name }, rows) {
    for (let row = 0; row < rows; row++) {
      const probed: Probed = {
        probe: name,
        timeS: a.timeS[row]!,
        value: a.quality[row] === NONE ? 0 : a.value[row]!,
        quality: a.quality[row]!,
        over: over.items[row] ?? null,
      }
      emit(probed)
    }
  },
})

export const toys: readonly Block[] = [
  link,
  parse,
  sum,
  gain,
  total,
  toyDelay,
  hasten,
  toDegrees,
  carry,
  probe,
]

export interface ToyFile {
  format: string
  version: number
  name: string
  revision: number
  blocks: { id: string; kind: string; parameters?: Record<string, unknown> }[]
  connections: { from: string; to: string }[]
}

/** `toyChain('parse link.line, probe parse.value')`: blocks with their connections, `id=kind` to name one. */
export function toyChain(
  text: string,
  parameters: Record<string, Record<string, unknown>> = {},
): ToyFile {
  const blocks: ToyFile['blocks'] = [{ id: 'link', kind: 'link' }]
  const connections: ToyFile['connections'] = []
  for (const part of text.split(',')) {
    const [name = '', ...sources] = part.trim().split(' ')
    const [id = '', kind = id] = name.split('=')
    blocks.push(parameters[id] ? { id, kind, parameters: parameters[id] } : { id, kind })
    const inputs = Object.keys(toys.find((toy) => toy.kind === kind)?.inputs ?? {})
    sources.forEach((from, nth) => {
      connections.push({ from, to: `${id}.${inputs[nth]}` })
    })
  }
  return { format: 'overbend-chain', version: 1, name: 'toy', revision: 3, blocks, connections }
}

export const linesOf = (texts: readonly string[], fromS = 0): RawLine[] =>
  texts.map((text, nth) => ({ arrivalS: fromS + nth / 8, from: 'device', text }))
