import { calibratedExpandedDegOf, releasedExpandedDegOf } from '../../../server/bend/bend-proof.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import { words } from '../../words/en.ts'
import { degrees, moment, uncertain } from '../../words/format.ts'

const { record: say } = words

/** Where the tube stood, how well that is known, and how still it was. */
export function releasedText(bend: Bend): string {
  const { releasedDeg, releasedSeDeg } = bend
  if (releasedDeg === null) return words.facts.none
  const expandedDeg = releasedExpandedDegOf(bend)
  const known =
    expandedDeg === null
      ? ''
      : say.known(uncertain(expandedDeg, 2), calibratedExpandedDegOf(bend) !== null)
  const spread = releasedSeDeg === null ? '' : `, ${say.uncertainty} ${degrees(releasedSeDeg, 3)}`
  return degrees(releasedDeg, 2) + known + spread
}

/** What corrected an accelerometer's axes; null: nothing did, as of any other sensor. */
export function axesText({ readout }: Bend): string | null {
  const axes = readout?.axes
  return axes ? say.entry(axes.number, moment(axes.at)) : null
}
