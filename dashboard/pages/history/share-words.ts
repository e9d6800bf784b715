import { calibratedExpandedDegOf } from '../../../server/bend/bend-proof.ts'
import { errorShares, isByReadout } from '../../../server/bend/error-shares.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import { words } from '../../words/en.ts'
import { signedDegrees, uncertain } from '../../words/format.ts'

const { record: say } = words
const { none } = words.facts

/** Below this a share is not worth a word, unless it is the largest; degrees. */
const SHARE_SHOWN_DEG = 0.05

/** A first go is aimed short on purpose; a later one by what this tube had shown. Neither is the tube's doing. */
function aimName({ hits }: Bend, aimDeg: number): string {
  if (hits > 1) return say.shares.again
  return aimDeg < 0 ? say.shares.short : say.shares.aim
}

/**
 * What the readout may have put to it: where it was held against an angle finder, by how much it showed more; else
 * how far it can be trusted, 95 %.
 */
function readoutPart(bend: Bend): string[] {
  const { releasedDeg, checkedDeg, releasedFrom } = bend
  if (releasedDeg === null || !isByReadout(releasedDeg, releasedFrom)) return []
  if (checkedDeg !== null) return [say.shares.against(signedDegrees(releasedDeg - checkedDeg, 2))]
  const expandedDeg = calibratedExpandedDegOf(bend)
  return expandedDeg === null ? [] : [say.shares.within(uncertain(expandedDeg, 2))]
}

/** Where the error came from, the largest share first; the readout's own is in all of them, and stands last. */
export function sharesOf(bend: Bend): string {
  const shares = errorShares({ ...bend, expectedDeg: bend.prediction?.springbackDeg ?? null })
  if (shares === null) return none
  const { stopDeg, tubeDeg, aimDeg } = shares
  const named = [
    { name: say.shares.stop, deg: stopDeg },
    { name: say.shares.tube, deg: tubeDeg },
    { name: aimName(bend, aimDeg), deg: aimDeg },
  ].sort((a, b) => Math.abs(b.deg) - Math.abs(a.deg))
  const shown = named
    .filter(({ deg }, nth) => nth === 0 || Math.abs(deg) >= SHARE_SHOWN_DEG)
    .map(({ name, deg }) => `${name} ${signedDegrees(deg, 2)}`)
  return [...shown, ...readoutPart(bend)].join(', ')
}
