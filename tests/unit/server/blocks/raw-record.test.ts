import { expect, test } from 'vitest'
import { link } from '../../../../server/blocks/link.ts'
import { rawRecord } from '../../../../server/blocks/raw-record.ts'
import { oneBlock } from './one-block.ts'
import { fromDevice, fromHost } from './wire.ts'

test('every line is handed out as it came, in order, whatever it holds', () => {
  const lines = [fromDevice('$PXOBS', 1), fromHost('datum', 2), fromDevice('', 3)]
  const block = oneBlock(rawRecord)
  block.feed(lines.map((line) => ({ line })))
  expect(block.emitted).toEqual([lines])
})

test('what was handed out does not change with the next batch', () => {
  const block = oneBlock(rawRecord)
  block.feed([{ line: fromDevice('a') }])
  block.feed([{ line: fromDevice('b') }])
  expect(block.emitted).toEqual([[fromDevice('a')], [fromDevice('b')]])
})

test('the link itself does nothing: the engine fills its output', () => {
  expect(oneBlock(link).feed([{}])[0]?.all).toEqual({ line: null })
})
