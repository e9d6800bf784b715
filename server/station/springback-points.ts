import type { SetupMemory, ShopMemory } from '../bend/shop-nodes.ts'
import { coefficientsOf, type SpringbackModel, springbackAtDeg } from '../bend/springback.ts'
import type { History, PlaceBend } from '../history/history.ts'
import { voidedBy } from '../messages/bend-standing.ts'
import type { SpringbackPoint, Standing } from '../messages/springback.ts'

interface Around {
  readonly memory: ShopMemory
  readonly setup: SetupMemory
  readonly model: SpringbackModel
  readonly actsOn: History['actsOn']
  /** Bends that somebody decided on. */
  readonly decided: ReadonlySet<number>
  readonly voided: ReadonlySet<number>
}

function standingOf(id: number, { memory, setup, voided }: Around): Standing {
  if (voided.has(id)) return 'void'
  if (memory.decisions.takenOut?.has(id)) return 'taken-out'
  if (memory.apart.has(id)) return 'apart'
  const { drift, breaks } = setup
  return breaks > 0 && drift !== null && id < drift.sinceBend ? 'before-change' : 'counts'
}

function decisionOf(id: number, { actsOn, decided }: Around): SpringbackPoint['decision'] {
  const last = decided.has(id) ? actsOn(id).findLast((act) => act.kind === 'teaching') : undefined
  if (last?.kind !== 'teaching') return null
  const { decision, who, reason, at } = last
  return { decision, who, reason, at }
}

const whyVoid = (id: number, standing: Standing, { actsOn }: Around): string | null =>
  standing === 'void' ? (voidedBy(actsOn(id))?.reason ?? null) : null

/** A bend as the view shows it, beside what is known now. */
export function pointOf(
  { id, peakDeg, springbackDeg }: PlaceBend,
  around: Around,
): SpringbackPoint {
  const apart = around.memory.apart.get(id)
  const standing = standingOf(id, around)
  const expectedDeg = springbackAtDeg(coefficientsOf(around.model), peakDeg)
  return {
    ...{ id, loadedDeg: peakDeg, springbackDeg, standing },
    offDeg: standing === 'apart' && apart ? apart.offDeg : springbackDeg - expectedDeg,
    why: standing === 'apart' ? (apart?.why ?? null) : whyVoid(id, standing, around),
    decision: decisionOf(id, around),
  }
}
