import type { History } from '../history/history.ts'
import type { KnownBy } from '../messages/act-kinds/act-kind.ts'
import type { Act } from '../messages/acts.ts'
import { voidedBy } from '../messages/bend-standing.ts'
import { CERTIFICATE_BENDS_MAX } from '../messages/certificate-max.ts'
import type { PieceAsk, PieceNow, PieceSigned, SignPieceAsk } from '../messages/piece.ts'
import {
  type BendActsDoor,
  type PieceDoor,
  Refused,
  type TeachingDoor,
} from '../web/station-door.ts'
import { demandSeen, pieceBendOf, seenOf } from './piece-seen.ts'
import { bendsFound, type Known, standsIn } from './standing-bends.ts'

/** Read and signed in one go, so many bends keep the daemon from anything else for some hundredths of a second. */
const BENDS_BESIDE_A_BEND = 50

export interface PieceParts {
  readonly history: Pick<History, 'page' | 'bend' | 'actsOn' | 'together'>
  /** Of every bender. */
  readonly teaching: () => readonly TeachingDoor[]
}

/** @throws Refused `not-signable` of more than can be read at once, `not-now` of what a bend in hand cannot wait for. */
function demandFew(bends: number, benders: readonly TeachingDoor[]): void {
  if (bends > CERTIFICATE_BENDS_MAX)
    throw new Refused(
      'not-signable',
      `More than ${CERTIFICATE_BENDS_MAX} bends are too many for one signature: sign them one by one.`,
      'piece',
    )
  if (bends > BENDS_BESIDE_A_BEND && benders.some((bender) => bender.isBending()))
    throw new Refused(
      'not-now',
      `Somebody bends just now, and ${bends} bends would hold up the call of the stop: sign them once that bend is done.`,
    )
}

function standingOn({ history, teaching }: PieceParts, { part, piece }: PieceAsk): Known[] {
  demandFew(history.page({ part, piece, limit: 1 }).total, teaching())
  const known = [...bendsFound(history, { part, piece })].map((bend) => ({
    bend,
    acts: history.actsOn(bend.id),
  }))
  const here = known.filter((one) => standsIn(one, { part, piece }))
  if (here.length > 0) return here
  throw new Refused(
    'empty-piece',
    `No bend stands on piece ${piece} of ${part}: look at part and piece.`,
    'piece',
  )
}

/** The act; null where the same person signed that bend in the same role already. */
function signOne(sign: () => Act, { bend, acts }: Known): Act | null {
  if (voidedBy(acts) !== null)
    throw new Refused(
      'not-signable',
      `Bend ${bend.id} is void, and what is void is not signed: leave void bends out, or let it count again.`,
      'withoutVoid',
    )
  try {
    return sign()
  } catch (error) {
    if (error instanceof Refused && error.code === 'nothing-to-do') return null
    throw error
  }
}

/** @throws Refused where nothing was left to sign. */
function demandSigned(ask: SignPieceAsk, { acts, leftOut }: PieceSigned): void {
  if (acts.length > 0) return
  const { who, role, part, piece } = ask
  if (leftOut.every(({ why }) => why === 'void'))
    throw new Refused(
      'not-signable',
      `Every bend of piece ${piece} of ${part} is void, and what is void is not signed: let one count again.`,
      'piece',
    )
  throw new Refused(
    'nothing-to-do',
    `${who} has ${role} every bend of piece ${piece} of ${part} already, as it stands.`,
    'role',
  )
}

/** The sentence is about one bend, and it was to be all of them. */
const ofThePiece = ({ code, message, field }: Refused) =>
  new Refused(code, `${message.replace(/\.$/, '')}; nothing was signed.`, field)

/** The bends of one piece at once, for all benders of a daemon: looked at, and signed by the same rules as one bend. */
export function makePieceDesk(parts: PieceParts, { add }: BendActsDoor): PieceDoor {
  function signEach(ask: SignPieceAsk, whoKnownBy: KnownBy): PieceSigned {
    const { who, role, meaning, seen, withoutVoid = false } = ask
    const known = standingOn(parts, ask)
    demandSeen(ask, seen, known)
    const acts: Act[] = []
    const leftOut: PieceSigned['leftOut'] = []
    for (const one of known) {
      const isLeft = withoutVoid && voidedBy(one.acts) !== null
      const act = isLeft
        ? null
        : signOne(() => add('signature', one.bend, { who, role, meaning }, whoKnownBy), one)
      if (act !== null) acts.push(act)
      else leftOut.push({ bend: one.bend.id, why: isLeft ? 'void' : 'signed-already' })
    }
    demandSigned(ask, { acts, leftOut })
    return { acts, leftOut }
  }

  return {
    look(ask): PieceNow {
      const known = standingOn(parts, ask)
      const { part, piece } = ask
      return { part, piece, bends: known.map(pieceBendOf), seen: seenOf(known) }
    },
    sign(ask, whoKnownBy) {
      try {
        return parts.history.together(() => signEach(ask, whoKnownBy))
      } catch (error) {
        throw error instanceof Refused && error.code === 'not-signable' ? ofThePiece(error) : error
      }
    },
  }
}
