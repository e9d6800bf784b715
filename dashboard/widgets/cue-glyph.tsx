import type { Word } from '../live/what-to-do.ts'

/**
 * A shape for each word, in the manner of a drawing: an arrow on its way to a line, at it, past it.
 * None of them is a shape of a safety sign.
 */
const PATHS: Readonly<Record<Word, { line: string; fill?: string }>> = {
  wait: { line: 'M10 20h4M22 20h4M34 20h4' },
  seat: { line: 'M6 34h36M12 34V18h24v16M24 4v10M19 10l5 5 5-5' },
  bend: { line: 'M6 24h30', fill: 'M28 14l14 10-14 10z' },
  ease: { line: 'M43 8v32M4 24h6M14 24h6', fill: 'M24 15l13 9-13 9z' },
  stop: { line: 'M43 4v40', fill: 'M4 18h16v-9l20 15-20 15v-9H4z' },
  past: { line: 'M10 4v40', fill: 'M16 18h12v-9l17 15-17 15v-9H16z' },
  letOff: { line: 'M42 30V14H14', fill: 'M18 4L4 14l14 10z' },
  check: { line: 'M6 40h38M6 40L36 10M26 40a20 20 0 0 0-6-14' },
  in: { line: 'M6 8v32M42 8v32M6 24h10M32 24h10', fill: 'M24 16l8 8-8 8-8-8z' },
  under: { line: 'M38 8v32', fill: 'M10 16l8 8-8 8-8-8z' },
  over: { line: 'M10 8v32', fill: 'M38 16l8 8-8 8-8-8z' },
}

export function CueGlyph({ word }: { word: Word }) {
  const { line, fill } = PATHS[word]
  return (
    <svg class="glyph" viewBox="0 0 48 48" aria-hidden="true">
      <path class="glyph-line" d={line} />
      {fill && <path class="glyph-fill" d={fill} />}
    </svg>
  )
}
