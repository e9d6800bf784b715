import type { FirstBendAsk } from '../../../server/messages/first-bend.ts'
import { parseLengthMm } from '../../words/parse-length.ts'
import type { Texts } from './fields.ts'
import { ownProblemsOf, readMetal } from './own-fields.ts'

/** The angle that all set-ups are compared by. */
const WANTED_DEG = 90

/** What the form so far asks about; null as long as it does not say enough. */
export function firstBendAsk(texts: Texts, unit: 'mm' | 'in'): FirstBendAsk | null {
  const [odMm, wallMm, clrMm] = [texts.od, texts.wall, texts.clr].map((text) =>
    parseLengthMm(text, unit),
  )
  const isMetalSaid = texts.material !== '' && Object.keys(ownProblemsOf(texts)).length === 0
  if (odMm == null || wallMm == null || clrMm == null || !isMetalSaid) return null
  return {
    die: { clrMm },
    tube: { odMm, wallMm, ...readMetal(texts) },
    wantedDeg: WANTED_DEG,
  }
}
