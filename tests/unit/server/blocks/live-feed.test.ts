import { expect, test } from 'vitest'
import { liveFeed } from '../../../../server/blocks/live-feed.ts'
import { BAD, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'

test('one message a batch, with the rows that hold a value', () => {
  const block = oneBlock(liveFeed)
  block.feed([
    { timeS: 1, angle: 10, rate: 1 },
    { timeS: 2, angle: nothing, rate: nothing },
    { timeS: 3, angle: flawed(11, UNCERTAIN), rate: 2 },
    { timeS: 4, angle: 12, rate: flawed(3, BAD) },
  ])
  expect(block.emitted).toEqual([
    {
      timeS: [1, 3, 4],
      angleDeg: [10, 11, 12],
      rateDegPerS: [1, 2, 3],
      quality: [0, UNCERTAIN, BAD],
      cue: 'none',
    },
  ])
})

test('the cue at the end of the batch, also when it began in an earlier one', () => {
  const block = oneBlock(liveFeed)
  block.feed([
    { angle: 1, rate: 0, cue: { cue: 'bend' } },
    { angle: 2, rate: 0, cue: { cue: 'ease' } },
    { angle: 3, rate: 0 },
  ])
  block.feed([{ angle: 4, rate: 0 }])
  expect(block.emitted).toMatchObject([{ cue: 'ease' }, { cue: 'ease' }])
})

test('a cue in a batch without a sample is told with the next', () => {
  const block = oneBlock(liveFeed)
  block.feed([{ angle: nothing, rate: nothing, cue: { cue: 'stop' } }])
  expect(block.emitted).toEqual([])
  block.feed([{ angle: 4, rate: 0 }])
  expect(block.emitted).toMatchObject([{ cue: 'stop' }])
})
