import type { Verdict as VerdictName } from '../../server/messages/bends.ts'
import type { Word } from '../live/what-to-do.ts'
import { words } from '../words/en.ts'
import { CueGlyph } from './cue-glyph.tsx'

const GLYPH: Readonly<Record<VerdictName, Word>> = {
  in: 'in',
  under: 'under',
  over: 'over',
  incomplete: 'wait',
}

/** In or out, by shape and word. */
export function Verdict({ verdict }: { verdict: VerdictName }) {
  return (
    <span class={verdict === 'in' ? 'verdict' : 'verdict verdict-out'}>
      <CueGlyph word={GLYPH[verdict]} />
      {words.history.verdicts[verdict]}
    </span>
  )
}
