import { defineBlock, item } from '../chain/block.ts'
import type { RawLine } from '../chain/raw-line.ts'
import { strict } from '../chain/strict.ts'

/** Where lines enter a chain: the engine fills its output. Every chain has one. */
export const link = defineBlock({
  kind: 'link',
  summary: 'Lines as they come in, from the device and from the station.',
  parameters: strict({}),
  inputs: {},
  outputs: { line: item<RawLine>('raw-line', 'Each line, with its arrival.') },
  start: () => ({}),
  step() {},
})
