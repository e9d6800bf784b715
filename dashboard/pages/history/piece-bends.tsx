import type { PieceBend, PieceNow } from '../../../server/messages/piece.ts'
import { Verdict } from '../../widgets/verdict.tsx'
import { pieceWords as say } from '../../words/en-piece.ts'
import { degrees } from '../../words/format.ts'

function Signatures({ bend: { isVoid, signatures } }: { bend: PieceBend }) {
  if (isVoid) return <strong>{say.isVoid}</strong>
  if (signatures.length === 0) return <span>{say.unsigned}</span>
  return (
    <>
      {signatures.map(({ act, who, role }) => (
        <span key={act}>
          {say.by[role]} <bdi>{who}</bdi>
        </span>
      ))}
    </>
  )
}

function Row({ bend }: { bend: PieceBend }) {
  const { id, bendNumber, verdict, releasedDeg, wantedDeg } = bend
  const released = releasedDeg === null ? null : degrees(releasedDeg, 2)
  return (
    <li data-void={bend.isVoid}>
      <a href={`#/history/${id}`}>{say.bend(id)}</a>
      <span>{say.place(bendNumber)}</span>
      <Verdict verdict={verdict} />
      <span>{say.angle(released, degrees(wantedDeg, 1))}</span>
      {bend.isAmended && <span>{say.isAmended}</span>}
      <Signatures bend={bend} />
    </li>
  )
}

/** What whoever signs a piece signs: each of its bends, what it came to, and who signed it before. */
export const PieceBends = ({ piece: { bends } }: { piece: PieceNow }) => (
  <ol class="piece-bends" aria-label={say.bends}>
    {bends.map((bend) => (
      <Row key={bend.id} bend={bend} />
    ))}
  </ol>
)
