import type { Act } from '../../../server/messages/acts.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import { words } from '../../words/en.ts'
import { momentWithOffset } from '../../words/format.ts'
import { ActText } from './act-text.tsx'

const { trail: say } = words

function ActRow({ act, bend }: { act: Act; bend: Bend }) {
  return (
    <li class="trail-act" data-kind={act.kind}>
      <p class="act-head">
        <span>{say.number(act.id)}</span>
        <time dateTime={act.at}>{momentWithOffset(act.at)}</time>
        <span>
          <bdi>{act.who}</bdi>
          {act.whoKnownBy && `, ${say.knownBy[act.whoKnownBy]}`}
        </span>
      </p>
      <ActText act={act} bend={bend} />
    </li>
  )
}

/** What people did about a bend after it was recorded, oldest first; nothing where nobody did anything. */
export function ActsList({ acts, bend }: { acts: readonly Act[]; bend: Bend }) {
  if (acts.length === 0) return null
  return (
    <>
      <h2>{say.title}</h2>
      <ol class="acts-trail" aria-label={say.title}>
        {acts.map((act) => (
          <ActRow key={act.id} act={act} bend={bend} />
        ))}
      </ol>
    </>
  )
}
