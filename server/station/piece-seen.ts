import { amendmentsOf, signaturesOf, standingText, voidedBy } from '../messages/bend-standing.ts'
import type { PieceAsk, PieceBend, PieceSeen } from '../messages/piece.ts'
import { Refused } from '../web/station-door.ts'
import type { Known } from './standing-bends.ts'

const counted = (bends: number) => (bends === 1 ? '1 bend' : `${bends} bends`)

/** What there is to see of the bends of a piece, oldest first. */
export function seenOf(known: readonly Known[]): PieceSeen {
  const acts = known.flatMap((one) => one.acts)
  const newest = known.at(-1)?.bend
  return {
    bends: known.length,
    newest: { number: newest?.id ?? 0, hash: newest?.hash ?? '' },
    acts: acts.length,
    lastAct: acts.reduce((last, { id }) => Math.max(last, id), 0),
  }
}

/** A bend as whoever signs the piece sees it. */
export function pieceBendOf({ bend, acts }: Known): PieceBend {
  const { id, verdict, wantedDeg, releasedDeg } = bend
  return {
    ...{ id, verdict, wantedDeg, releasedDeg },
    bendNumber: Number(standingText(bend, acts, 'bendNumber')),
    isAmended: amendmentsOf(bend, acts).length > 0,
    isVoid: voidedBy(acts) !== null,
    signatures: signaturesOf(acts).map(({ id: act, who, role }) => ({ act, who, role })),
  }
}

/** What is another by now, and where among what was seen; null: nothing. */
function changedIn(now: PieceSeen, seen: PieceSeen): [string, string] | null {
  if (now.bends !== seen.bends)
    return [`has ${counted(now.bends)} by now, and the page showed ${seen.bends}`, 'bends']
  const { number, hash } = now.newest
  if (number !== seen.newest.number)
    return [
      `has bend ${number} as its newest, and the page showed bend ${seen.newest.number}`,
      'newest.number',
    ]
  if (hash !== seen.newest.hash)
    return [`has another record as bend ${number} than the page showed, by its hash`, 'newest.hash']
  if (now.acts !== seen.acts || now.lastAct !== seen.lastAct)
    return ['is another than the page showed, since somebody did something about it', 'acts']
  return null
}

/** @throws Refused `changed-since` where the piece is another than the signer saw. */
export function demandSeen(
  { part, piece }: PieceAsk,
  seen: PieceSeen,
  known: readonly Known[],
): void {
  const changed = changedIn(seenOf(known), seen)
  if (changed === null) return
  const [what, field] = changed
  throw new Refused(
    'changed-since',
    `Piece ${piece} of ${part} ${what}: look at it again; nothing was signed.`,
    `seen.${field}`,
  )
}
