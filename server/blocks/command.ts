import { type HostLine, parseHostLine } from '../bend/host-line.ts'
import { defineBlock, item } from '../chain/block.ts'
import type { RawLine } from '../chain/raw-line.ts'
import { strict } from '../chain/strict.ts'

/** Reads what the station itself put among the lines: datum, aim, close, link lost and back. */
export const command = defineBlock({
  kind: 'command',
  summary: 'Reads the lines of the station: datum, aim, close, link.',
  parameters: strict({}),
  inputs: { line: item<RawLine>('raw-line', 'Lines; only those of the station are read.') },
  outputs: { command: item<HostLine>('host-line', 'What the station asks for.') },
  start: () => ({}),
  step(frame, _memory, _parameters, rows) {
    const { items } = frame.in.line
    const { command } = frame.out
    for (let row = 0; row < rows; row++) {
      const line = items[row]
      if (line?.from !== 'host') continue
      const parsed = parseHostLine(line.text)
      if (parsed === null) continue
      command.items[row] = parsed
      command.count++
    }
  },
})
