import { useState } from 'preact/hooks'
import type { SpringbackPoint, SpringbackView } from '../../../server/messages/springback.ts'
import { numberHead, TableHead } from '../../widgets/table-head.tsx'
import { words } from '../../words/en.ts'
import { degrees, signedDegrees } from '../../words/format.ts'
import { PointMark } from './chart-keys.tsx'
import type { Deciding } from './decide-form.tsx'

const { bends: say, decide } = words.springback

/** Shown at first; what is set apart or was decided on is always shown. */
const NEWEST = 12

/** What a person can decide of it: a decision can be undone, any other bend put back or taken out. */
function decisionFor({ standing, decision }: SpringbackPoint): Deciding['decision'] {
  if (decision !== null && decision.decision !== 'as-found') return 'as-found'
  return standing === 'apart' ? 'put-back' : 'taken-out'
}

/** Whether it teaches, why not, and what a person can decide of it. */
function Standing(props: { point: SpringbackPoint; onDecide: (deciding: Deciding) => void }) {
  const { id, standing, why, decision } = props.point
  const next = decisionFor(props.point)
  return (
    <td class="standing">
      <div>
        <p>
          <PointMark standing={standing} /> {say.standings[standing]}
          {decision !== null && (
            <span class="under-it">
              {say.decided(decision.decision, decision.who)}: {decision.reason}
            </span>
          )}
          {why !== null && <span class="under-it">{why}</span>}
        </p>
        {standing !== 'void' && (
          <button
            type="button"
            class="plain"
            aria-label={decide.titles[next](id)}
            onClick={() => props.onDecide({ bendId: id, decision: next })}
          >
            {decide.acts[next]}
          </button>
        )}
      </div>
    </td>
  )
}

function Row(props: { point: SpringbackPoint; onDecide: (deciding: Deciding) => void }) {
  const { point, onDecide } = props
  return (
    <tr>
      <td>
        <a class="bend-link" href={`#/history/${point.id}`}>
          {point.id}
        </a>
      </td>
      <td class="number wide">{degrees(point.loadedDeg, 2)}</td>
      <td class="number">
        {degrees(point.springbackDeg, 2)}
        <span class="under-it narrow-only">{say.from(degrees(point.loadedDeg, 2))}</span>
      </td>
      <td class="number">{signedDegrees(point.offDeg, 2)}</td>
      <Standing point={point} onDecide={onDecide} />
    </tr>
  )
}

const isSpecial = ({ standing, decision }: SpringbackPoint) =>
  ['apart', 'taken-out', 'void'].includes(standing) || decision !== null

/** The bends of a set-up, newest first; what does not simply count comes first. */
export function PointsTable(props: {
  view: SpringbackView
  onDecide: (deciding: Deciding) => void
}) {
  const { points, olderPoints } = props.view
  const [isWhole, setIsWhole] = useState(false)
  if (points.length === 0) return <p class="desk-intro">{say.none}</p>
  const newestFirst = points.toReversed()
  const ordered = [
    ...newestFirst.filter(isSpecial),
    ...newestFirst.filter((point) => !isSpecial(point)),
  ]
  const special = newestFirst.filter(isSpecial).length
  const shown = isWhole ? ordered : ordered.slice(0, special + NEWEST)
  return (
    <>
      <div class="table-scroll">
        <table class="points" aria-label={say.title}>
          <TableHead
            heads={[
              say.number,
              { name: say.loaded, kind: 'number wide' },
              numberHead(say.springback),
              numberHead(say.off),
              say.standing,
            ]}
          />
          <tbody>
            {shown.map((point) => (
              <Row key={point.id} point={point} onDecide={props.onDecide} />
            ))}
          </tbody>
        </table>
      </div>
      <p class="pages">
        {shown.length < points.length && (
          <button type="button" class="plain" onClick={() => setIsWhole(true)}>
            {say.more(points.length)}
          </button>
        )}
        {olderPoints > 0 && <span>{say.older(olderPoints)}</span>}
      </p>
    </>
  )
}
