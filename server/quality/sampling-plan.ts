/** Which pieces of a part are measured with the tube in hand; the first one always. */
export interface SamplingPlan {
  /** Each piece whose number this divides; null: none between first and last. */
  readonly everyNth: number | null
  /** Number of the last piece of the order; null: not known. */
  readonly lastPiece: number | null
}

/** Why a piece is to be measured. */
export type DueFor = 'first' | 'every' | 'last'

/**
 * Why a plan wants a piece measured; null: it does not, or there is no plan. Which pieces a shop takes is its own choice
 * (common practice, no source): the first says that the set-up is right, the last that it stayed so.
 *
 * @param piece Number of the piece, from 1.
 */
export function dueFor(piece: number, plan: SamplingPlan | undefined): DueFor | null {
  if (plan === undefined) return null
  if (piece === 1) return 'first'
  if (piece === plan.lastPiece) return 'last'
  return plan.everyNth !== null && piece % plan.everyNth === 0 ? 'every' : null
}
