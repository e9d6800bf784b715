import { type DueFor, dueFor, type SamplingPlan } from '../quality/sampling-plan.ts'

/** How a recorded bend stands, as far as it says whether it is still to be inspected. */
interface Standing {
  /** Number of the piece as it stands by now, from 1. */
  readonly piece: number
  /** Of its job; left out where there is none. */
  readonly plan?: SamplingPlan | undefined
  readonly isComplete: boolean
  readonly isVoid: boolean
  readonly isInspected: boolean
}

/** Why a bend is still to be inspected; null: it is not. One that is incomplete or void counts nowhere. */
export function inspectionDue(bend: Standing): DueFor | null {
  const counts = bend.isComplete && !bend.isVoid
  return counts && !bend.isInspected ? dueFor(bend.piece, bend.plan) : null
}
