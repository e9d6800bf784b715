import { words } from '../../words/en.ts'
import type { Flag } from './chain-drawing.tsx'
import type { Changes } from './draft-changes.ts'
import type { Checked } from './use-check.ts'

const { marks } = words.chain.edit

/** What stands on the tab of each block that differs or is at fault. */
export function flagsOf({ blocks }: Changes, { block }: Checked): ReadonlyMap<string, Flag> {
  const flags = new Map<string, Flag>()
  for (const [id, change] of blocks) flags.set(id, { change, text: marks[change] })
  if (block !== null) {
    const before = flags.get(block)
    const text = [before?.text, marks.fault].filter(Boolean).join(', ')
    flags.set(block, { change: 'fault', text })
  }
  return flags
}
