import { type Proof, provedBy } from '../quality/proof.ts'

interface RecordedBend {
  readonly wantedDeg: number
  readonly toleranceDeg: number
  readonly releasedDeg: number | null
  readonly readout?: { readonly releasedExpandedDeg: number | null } | null
}

/**
 * What the released angle of a recorded bend proves of its tolerance. A view of the record, never the verdict, which is
 * simple acceptance as it was recorded.
 *
 * @returns null where the tube was not seen, or the uncertainty of its angle is not known.
 */
export function bendProof({
  wantedDeg,
  toleranceDeg,
  releasedDeg,
  readout,
}: RecordedBend): Proof | null {
  const expandedDeg = readout?.releasedExpandedDeg ?? null
  if (releasedDeg === null || expandedDeg === null) return null
  return provedBy({
    error: releasedDeg - wantedDeg,
    tolerance: toleranceDeg,
    expanded: expandedDeg,
  })
}
