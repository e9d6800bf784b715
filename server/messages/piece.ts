import { type Static, Type } from 'typebox'
import { Named } from './act-kinds/act-kind.ts'
import { SIGNING_ROLES, signature } from './act-kinds/signature.ts'
import { Act } from './acts.ts'
import { Verdict } from './bends.ts'
import { PIECE_MAX } from './find-choices.ts'
import { angleDeg, name, oneOf, orNull, strict } from './schema.ts'

/** One piece of a part, as it stands by now. */
export const PieceAsk = strict({
  part: name('Part or drawing number.'),
  piece: Type.Integer({ minimum: 1, maximum: PIECE_MAX, description: 'Which piece of it.' }),
})
export type PieceAsk = Static<typeof PieceAsk>

const count = (description: string) => Type.Integer({ minimum: 0, description })

/** What somebody has seen of a piece: one bend or one act more, and it is another. */
export const PieceSeen = strict({
  bends: count('How many bends stand on the piece.'),
  newest: Named,
  acts: count('How many acts there are about them.'),
  lastAct: count('Number of the last of these acts; 0: there is none.'),
})
export type PieceSeen = Static<typeof PieceSeen>

const PieceSignature = strict({
  act: Type.Integer({ minimum: 1, description: 'Place in the log of acts.' }),
  who: Type.String(),
  role: oneOf(SIGNING_ROLES),
})

/** A bend of a piece, as far as whoever signs all of them has to know it. */
export const PieceBend = strict({
  id: Type.Integer({ minimum: 1, description: 'Place in the history.' }),
  bendNumber: Type.Integer({ description: 'Which bend of the piece, as it stands by now.' }),
  verdict: Verdict,
  wantedDeg: angleDeg('Angle wanted after letting off.'),
  releasedDeg: orNull(angleDeg('Where the tube stood after the last go.')),
  isAmended: Type.Boolean({ description: 'Other values stand beside recorded ones.' }),
  isVoid: Type.Boolean({ description: 'Declared void: it is not signed.' }),
  signatures: Type.Array(PieceSignature, { description: 'Under the bend as it stands now.' }),
})
export type PieceBend = Static<typeof PieceBend>

/** The bends that stand on a piece by now, in the order in which they were recorded. */
export const PieceNow = strict({
  ...PieceAsk.properties,
  bends: Type.Array(PieceBend),
  seen: PieceSeen,
})
export type PieceNow = Static<typeof PieceNow>

/** A signature under every bend of a piece. */
export const SignPieceAsk = strict({
  ...signature.ask.properties,
  ...PieceAsk.properties,
  seen: PieceSeen,
  withoutVoid: Type.Optional(
    Type.Boolean({
      description: 'Bends that are void are left out. Else one that is void has the whole refused.',
    }),
  ),
})
export type SignPieceAsk = Static<typeof SignPieceAsk>

const LEFT_OUT = ['void', 'signed-already'] as const

export const PieceSigned = strict({
  acts: Type.Array(Act, { description: 'One for each bend that was signed.' }),
  leftOut: Type.Array(
    strict({
      bend: Type.Integer({ minimum: 1, description: 'Place in the history.' }),
      why: oneOf(LEFT_OUT, {
        description: 'signed-already: by the same person, in the same role, as it stands.',
      }),
    }),
  ),
})
export type PieceSigned = Static<typeof PieceSigned>
