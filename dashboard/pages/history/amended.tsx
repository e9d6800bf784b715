import type { Act } from '../../../server/messages/acts.ts'
import {
  amendmentsOf,
  recordedText,
  signaturesOf,
  voidedBy,
} from '../../../server/messages/bend-standing.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import { words } from '../../words/en.ts'
import { AmendedValue } from './act-text.tsx'

const { trail: say } = words

/** How a bend stands: void, amended with both values, signed by whom. Nothing where nobody did anything. */
export function Amended({ bend, acts }: { bend: Bend; acts: readonly Act[] }) {
  const voided = voidedBy(acts)
  const amendments = amendmentsOf(bend, acts)
  const signatures = signaturesOf(acts)
  return (
    <>
      {voided && <p class="record-void">{say.isVoid(voided.who)}</p>}
      {amendments.length > 0 && (
        <ul class="record-amended" aria-label={say.kinds.amendment}>
          {amendments.map(({ field, to }) => (
            <li key={field} class="act-said">
              {say.fields[field]} <AmendedValue from={recordedText(bend, field)} to={to} />
            </li>
          ))}
        </ul>
      )}
      {signatures.map(({ id, role, who }) => (
        <p key={id}>
          {say.roles[role]}: <bdi>{who}</bdi>
        </p>
      ))}
    </>
  )
}
