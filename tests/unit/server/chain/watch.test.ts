import { expect, test } from 'vitest'
import { compileChain } from '../../../../server/chain/chain.ts'
import { BATCH_ROWS_MAX, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { linesOf, toyChain, toys } from './toy-blocks.ts'

const CHAIN = 'parse link.line, total parse.value, probe total.value total.over'
const toy = (text = CHAIN) => compileChain(toyChain(text), toys)
const of = (chain: ReturnType<typeof toy>, output: string) =>
  chain.seen().find(({ block, port }) => `${block}.${port}` === output)

test('nothing is seen while nobody watches', () => {
  const chain = toy()
  chain.push(linesOf(['1']))
  expect(chain.seen()).toEqual([])
  chain.watch()
  expect(of(chain, 'parse.value')).toEqual({
    ...{ block: 'parse', port: 'value', good: 0, uncertain: 0, bad: 0 },
    ...{ value: null, quality: NONE, timeS: null },
  })
  chain.unwatch()
  chain.push(linesOf(['1']))
  expect(chain.seen()).toEqual([])
})

test('values are counted by their quality, and the last one is kept through rows without one', () => {
  const chain = toy()
  chain.watch()
  chain.push(linesOf(['1', '2?', 'rubbish'], 10))
  chain.push(linesOf(['rubbish'], 20))
  expect(of(chain, 'parse.value')).toMatchObject({
    ...{ good: 1, uncertain: 1, bad: 0 },
    ...{ value: 2, quality: UNCERTAIN, timeS: 10.125 },
  })
})

test('items are counted, with the time of the last', () => {
  const chain = toy()
  chain.watch()
  chain.push(linesOf(['99', '2', '1', '-50'], 8))
  expect(of(chain, 'total.over')).toMatchObject({
    good: 2,
    value: null,
    quality: GOOD,
    timeS: 8.25,
  })
})

test('however many lines come at once, each is seen', () => {
  const chain = toy()
  chain.watch()
  chain.push(linesOf(Array.from({ length: 3 * BATCH_ROWS_MAX + 5 }, () => '0')))
  expect(of(chain, 'parse.value')?.good).toBe(3 * BATCH_ROWS_MAX + 5)
})

test('a chain that goes a row at a time is seen too, and every output is told of', () => {
  const loop = toy('parse link.line, sum parse.value delay.value, delay sum.value, probe sum.value')
  loop.watch()
  loop.push(linesOf(['1', '2', '3']))
  expect(of(loop, 'sum.value')).toMatchObject({ good: 0, uncertain: 3, value: 6 })
  expect(loop.seen().map(({ block, port }) => `${block}.${port}`)).toEqual([
    ...['link.line', 'parse.value', 'sum.value', 'delay.value'],
  ])
})

test('watching changes nothing that comes out, and a second watch begins anew', () => {
  const [plain, watched] = [toy(), toy()]
  watched.watch()
  const lines = linesOf(['4', '5?', '-1', '99'])
  plain.push(lines)
  watched.push(lines)
  expect(watched.snapshot()).toBe(plain.snapshot())
  watched.watch()
  expect(of(watched, 'parse.value')).toMatchObject({ good: 0, value: null })
})
