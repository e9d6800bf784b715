import { words } from '../../words/en.ts'
import type { Connection } from './draft.ts'
import type { Changes } from './draft-changes.ts'

const { edit: say } = words.chain

const listed = (some: readonly Connection[]) =>
  some.map(({ from, to }) => say.connection(from, to)).join(', ')

function linesOf(changes: Changes): string[] {
  const { blocks, removed, connected, disconnected, isNoteChanged } = changes
  const ids = (how: 'added' | 'changed') =>
    [...blocks].filter(([, change]) => change === how).map(([id]) => id)
  const lines: [readonly unknown[], string][] = [
    [ids('added'), say.added(ids('added').join(', '))],
    [ids('changed'), say.altered(ids('changed').join(', '))],
    [removed, say.removed(removed.join(', '))],
    [connected, say.connected(listed(connected))],
    [disconnected, say.disconnected(listed(disconnected))],
    [isNoteChanged ? [true] : [], say.noteChanged],
  ]
  return lines.filter(([some]) => some.length > 0).map(([, line]) => line)
}

/** What differs from the chain that runs, in words. */
export function DraftChangesList({ changes }: { changes: Changes }) {
  const lines = linesOf(changes)
  return (
    <ul class="draft-changes" aria-label={say.differs} tabIndex={-1}>
      {lines.length === 0 && <li>{say.nothing}</li>}
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
  )
}
