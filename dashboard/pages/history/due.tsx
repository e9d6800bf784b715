import { inspectionDue } from '../../../server/bend/inspection-due.ts'
import type { Act } from '../../../server/messages/acts.ts'
import { standingText, voidedBy } from '../../../server/messages/bend-standing.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import { words } from '../../words/en.ts'

/** Says that the plan wants this bend inspected, until somebody has; nothing of a bend that counts nowhere. */
export function Due({ bend, acts }: { bend: Bend; acts: readonly Act[] }) {
  const why = inspectionDue({
    piece: Number(standingText(bend, acts, 'piece')),
    plan: bend.job.sampling,
    isComplete: bend.verdict !== 'incomplete',
    isVoid: voidedBy(acts) !== null,
    isInspected: acts.some(({ kind }) => kind === 'inspection'),
  })
  if (why === null) return null
  return <p class="record-due">{words.plan.notYet(why)}</p>
}
