import { defineBlock, item } from '../chain/block.ts'
import type { RawLine } from '../chain/raw-line.ts'
import { strict } from '../chain/strict.ts'

/** Hands out every line that was run, in the order in which it was run: what a record keeps. */
export const rawRecord = defineBlock({
  kind: 'raw-record',
  summary: 'Every line as it came in, for the record.',
  parameters: strict({}),
  inputs: { line: item<RawLine>('raw-line', 'Lines of the device and of the station.') },
  outputs: {},
  outlet: 'raw',
  start: () => ({}),
  step(frame, _memory, _parameters, rows) {
    // The source fills every row, so that a copy in one go is all there is to do.
    frame.emit(frame.in.line.items.slice(0, rows))
  },
})
