import { expect, test } from 'vitest'
import { delay } from '../../../../server/blocks/delay.ts'
import { BAD, GOOD, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'

test('gives its initial value first, uncertain, and then the last value before each row', () => {
  const block = oneBlock(delay, { initialDeg: 90 })
  const rows = [
    { timeS: 5, angle: 1 },
    { timeS: 6, angle: flawed(2, BAD) },
    { timeS: 7, angle: 3 },
  ]
  expect(rows.map((row) => block.feed([row])[0])).toMatchObject([
    { timeS: 0, value: 90, quality: UNCERTAIN },
    { timeS: 5, value: 1, quality: GOOD },
    { timeS: 6, value: 2, quality: BAD },
  ])
})

test('a row without a value is none to remember', () => {
  const block = oneBlock(delay)
  block.feed([{ angle: 8 }])
  block.feed([{ angle: nothing }])
  expect(block.feed([{ angle: 1 }])[0]).toMatchObject({ value: 8, quality: GOOD })
})
