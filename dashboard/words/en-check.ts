import type { HistoryVerified } from '../../server/messages/verified.ts'
import { counted } from './counted.ts'

/** Enough of a hash to be compared by eye. */
const SHOWN_OF_HASH = 12

const recordsOf = (count: number) => counted(count, 'record', 'records')

/** The proofs that the History page offers: certificates, and a check of the record. */
export const checkWords = {
  ofPiece: 'Certificate of this piece',
  ofLot: 'Certificate of this lot',
  tooMany: (most: number) =>
    `No certificate of this lot: it has more than ${most} bends. Add a part and a piece, and there is one of the piece.`,
  check: 'Check the record',
  checking: 'The record is walked from its first bend; a long one takes a while.',
  headLabel: 'Whole head, to be kept elsewhere',
  /** What a check found, and what to do about it. */
  found({ records, intact, why, head }: HistoryVerified): string {
    if (!intact)
      return `NOT intact, of ${recordsOf(records)}: ${why ?? 'it is not said where.'} Leave the data folder as it is, make a copy of it, and look for a backup that passes this check.`
    if (records === 0) return 'No bend is recorded yet, and the logs beside them are intact.'
    return `${recordsOf(records)}, intact. The head begins with ${head.slice(0, SHOWN_OF_HASH)}: compare it with one kept elsewhere, since an end that was cut off shows only so.`
  },
} as const
