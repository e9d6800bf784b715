import type { Act } from '../../../server/messages/acts.ts'
import { standingText } from '../../../server/messages/bend-standing.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import type { PieceAsk } from '../../../server/messages/piece.ts'

/** The piece that a bend is of by now, after amendments. */
export const pieceOfBend = (bend: Bend, acts: readonly Act[]): PieceAsk => ({
  part: standingText(bend, acts, 'part') ?? bend.part,
  piece: Number(standingText(bend, acts, 'piece') ?? bend.piece),
})
