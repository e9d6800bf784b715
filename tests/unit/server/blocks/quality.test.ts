import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { catalogue } from '../../../../server/blocks/index.ts'
import type { Block } from '../../../../server/chain/block.ts'
import { GOOD, NONE } from '../../../../server/chain/column.ts'
import { flawed, oneBlock, type Row } from './one-block.ts'

/** Number inputs that every value of the block is made of. */
const needed = (block: Block) =>
  Object.entries(block.inputs).flatMap(([name, port]) =>
    port.carries === 'number' && !block.optional?.includes(name) ? [name] : [],
  )
const givesNumbers = (block: Block) =>
  Object.values(block.outputs).some(({ carries }) => carries === 'number')

// A delay gives what came before its row, so its row says nothing about its quality.
const blocks = catalogue.filter(
  (block) => givesNumbers(block) && needed(block).length > 0 && !block.delays,
)

/** Its outputs are made of pressure or switch, which may stay unconnected: then there is no value at all. */
const OF_OPTIONAL_INPUTS = new Set(['let-off'])

const qualities = fc.array(fc.integer({ min: GOOD, max: NONE }), { minLength: 1, maxLength: 60 })

function rowsOf(block: Block, given: readonly number[]): Row[] {
  return given.map((quality, nth) => ({
    timeS: 10 + nth / 200,
    ...Object.fromEntries(
      needed(block).map((name) => [name, flawed(name === 'tick' ? nth * 5000 : nth, quality)]),
    ),
  }))
}

test('the rule is tried on the blocks on the way of a sample', () => {
  const tried = [
    'clock',
    'line-clock',
    'unwrap',
    'scale',
    'degrees',
    'tilt',
    'spike-guard',
    'datum',
    'smoother',
  ]
  expect(blocks.map(({ kind }) => kind)).toEqual(expect.arrayContaining(tried))
})

describe.each(blocks.map((block) => [block.kind, block] as const))('%s', (_, block) => {
  test('lowers quality or leaves it, and never raises it (seed 21)', () => {
    fc.assert(
      fc.property(qualities, (given) => {
        const out = oneBlock(block).feed(rowsOf(block, given))
        for (const [row, { quality }] of out.entries())
          expect(quality).toBeGreaterThanOrEqual(given[row]!)
      }),
      { seed: 21 },
    )
  })

  test('makes no value where there is none (seed 22)', () => {
    fc.assert(
      fc.property(qualities, (given) => {
        const out = oneBlock(block).feed(rowsOf(block, given))
        for (const [row, { quality }] of out.entries())
          expect(quality === NONE).toBe(given[row] === NONE || OF_OPTIONAL_INPUTS.has(block.kind))
      }),
      { seed: 22 },
    )
  })

  test('one row at a time gives what one batch gives (seed 23)', () => {
    fc.assert(
      fc.property(qualities, (given) => {
        const rows = rowsOf(block, given)
        const single = oneBlock(block)
        const oneByOne = rows.flatMap((row) => single.feed([row]))
        const readable = ({ quality, value, timeS }: (typeof oneByOne)[number]) =>
          quality === NONE ? [quality] : [quality, value, timeS]
        expect(oneByOne.map(readable)).toEqual(oneBlock(block).feed(rows).map(readable))
      }),
      { seed: 23 },
    )
  })
})
