import type { PieceAsk } from '../../../server/messages/piece.ts'
import { conditionsOf, type Filter } from './filter-address.ts'

/** The piece that a filter asks for, and nothing besides; null where it asks for anything else. */
export function pieceOf(filter: Filter): PieceAsk | null {
  const asked = new Map(conditionsOf(filter))
  const [part, piece] = [asked.get('part'), asked.get('piece')]
  if (asked.size !== 2 || part === undefined || piece === undefined) return null
  return { part, piece: Number(piece) }
}
