import type { OperatorAct } from '../../server/messages/commands.ts'
import type { Phase, StationState } from '../../server/messages/live.ts'

/** The acts that one press does; abandoning takes longer. */
export const PRESSED_ACTS = ['datum', 'accept', 'again'] as const
export type PressedAct = (typeof PRESSED_ACTS)[number]

/** What the moment allows. The daemon has the last word: a refusal is shown in its own sentence. */
export function allows(
  act: Exclude<OperatorAct['act'], 'pedal'>,
  phase: Phase,
  canGoAgain: boolean,
): boolean {
  if (act === 'datum') return phase === 'no-datum' || phase === 'seated'
  if (act === 'abandon') return phase !== 'no-datum'
  if (phase !== 'settled') return false
  return act === 'accept' || canGoAgain
}

/** The one that the pedal would do now: drawn heavier, so that the eye finds it. */
export function nextAct({
  phase,
  result,
}: Pick<StationState, 'phase' | 'result'>): PressedAct | null {
  if (phase === 'no-datum') return 'datum'
  if (phase !== 'settled' || !result || result.goingAgain) return null
  return result.againDeg === null ? 'accept' : 'again'
}
