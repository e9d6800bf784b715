import type { Act } from '../../../server/messages/acts.ts'
import { standingText, voidedBy } from '../../../server/messages/bend-standing.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import { dueFor } from '../../../server/quality/sampling-plan.ts'
import { words } from '../../words/en.ts'

/** Says that the plan wants this bend inspected, until somebody has; nothing of a bend that counts nowhere. */
export function Due({ bend, acts }: { bend: Bend; acts: readonly Act[] }) {
  const why = dueFor(Number(standingText(bend, acts, 'piece')), bend.job.sampling)
  const counts = bend.verdict !== 'incomplete' && !voidedBy(acts)
  const isInspected = acts.some(({ kind }) => kind === 'inspection')
  if (why === null || !counts || isInspected) return null
  return <p class="record-due">{words.plan.notYet(why)}</p>
}
