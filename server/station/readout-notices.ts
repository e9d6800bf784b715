import type { Notice } from '../messages/live.ts'
import type { ReadoutInForce } from './readout-facts.ts'

const HINT = 'Seat the reference piece and check the readout; bends made until then are marked.'

/** What is the matter with the readout, as long as it is. */
export function readoutNotices({
  standing,
  why,
}: Pick<ReadoutInForce, 'standing' | 'why'>): Notice[] {
  if (why === null || !(standing === 'overdue' || standing === 'failed')) return []
  return [{ id: 'check', kind: standing === 'failed' ? 'doubt' : 'task', text: why, hint: HINT }]
}
