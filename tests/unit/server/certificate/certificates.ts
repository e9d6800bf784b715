import type { Certificate, CertifiedBend } from '../../../../server/certificate/certificate.ts'
import type { Bend, NewBend } from '../../../../server/messages/bends.ts'
import { newBend } from '../history/shop.ts'

/** The `n`th bend of the shop as a history would number it, without one. */
function recordedBend(n: number, changes: Partial<NewBend> = {}): Bend {
  const bend = newBend(n, changes)
  const { part, piece, bendNumber, operator } = bend.job
  return {
    ...bend,
    ...{ id: n, part, piece, bendNumber, operator, lot: bend.tube.lot },
    ...{ rawLines: 1000, rawSha256: 'a'.repeat(64) },
    ...{ previousHash: 'b'.repeat(64), hash: 'c'.repeat(64) },
  }
}

export const certified = (
  n: number,
  changes: Partial<NewBend> = {},
  standing: Partial<CertifiedBend> = {},
): CertifiedBend => ({
  bend: recordedBend(n, changes),
  trace: { tS: [0, 1, 2, 3, 4], angleDeg: [0, 40, 93, 93, 90] },
  ...{ proof: 'proved-in', expandedDeg: null, isVoid: false, amended: {}, deeds: [] },
  ...standing,
})

/** One piece of a part. */
export const certificateOf = (bends: CertifiedBend[]): Certificate => ({
  issuedAt: '2026-02-03T09:00:00.000+01:00',
  ...{ software: '0.1.0', records: 40, head: 'a'.repeat(64), seal: null, attachment: null },
  sheets: [{ part: 'Boarding rail BR-5', piece: 17, bends, gone: [] }],
})
