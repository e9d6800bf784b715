import type { Act } from '../../../server/messages/acts.ts'
import { standingText } from '../../../server/messages/bend-standing.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import type { PieceAsk } from '../../../server/messages/piece.ts'
import { conditionsOf, type Filter } from './filter-address.ts'

/** The piece that a filter asks for, and nothing besides; null where it asks for anything else. */
export function pieceOf(filter: Filter): PieceAsk | null {
  const asked = new Map(conditionsOf(filter))
  const [part, piece] = [asked.get('part'), asked.get('piece')]
  if (asked.size !== 2 || part === undefined || piece === undefined) return null
  return { part, piece: Number(piece) }
}

/** The piece that a bend is of by now, after amendments. */
export const pieceOfBend = (bend: Bend, acts: readonly Act[]): PieceAsk => ({
  part: standingText(bend, acts, 'part') ?? bend.part,
  piece: Number(standingText(bend, acts, 'piece') ?? bend.piece),
})
