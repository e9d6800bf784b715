import type { Instruction } from '../live/what-to-do.ts'
import { words } from '../words/en.ts'
import { degrees, signedDegrees } from '../words/format.ts'
import { CueGlyph } from './cue-glyph.tsx'

/** What to do now: a shape, one word that can be read across the shop, and what follows. */
export function CueWord({ instruction }: { instruction: Instruction }) {
  const { word, tail, angleDeg } = instruction
  const write = tail === 'again' || tail === 'upTo' ? degrees : signedDegrees
  const angle = angleDeg === null ? '' : write(angleDeg)
  const following = words.tail[tail](angle)
  return (
    <div class="cue" data-word={word}>
      <CueGlyph word={word} />
      <strong class="cue-word">{words.what[word]}</strong>
      <span class="cue-tail">{following}</span>
    </div>
  )
}
