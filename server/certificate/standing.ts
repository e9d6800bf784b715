import type { CertifiedBend } from './certificate.ts'
import { degrees, words } from './words.ts'

/** A field of these as it was recorded, and what was amended since. */
export function told(
  { amended }: CertifiedBend,
  field: 'lot' | 'operator' | 'gauge',
  recorded: string,
): string {
  const to = amended[field]
  return to === undefined ? recorded : words.amended(recorded, to)
}

export const lotOf = (bend: CertifiedBend) => told(bend, 'lot', bend.bend.lot)

/**
 * What an angle finder said of it when it was recorded, degrees. An imported bend has the angle of its notebook in both
 * places: that is one reading, which confirms nothing.
 */
export function recordedCheckDeg({ bend }: CertifiedBend): number | null {
  const { checkedDeg, releasedDeg, imported } = bend
  return imported !== undefined && checkedDeg === releasedDeg ? null : checkedDeg
}

/** The same as it stands by now; undefined where nobody amended it. */
export function standingCheck({ amended: { checkedDeg: to } }: CertifiedBend): string | undefined {
  if (to === undefined) return undefined
  return degrees(to === null ? null : Number(to))
}
