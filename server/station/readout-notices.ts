import type { Notice, Phase } from '../messages/live.ts'
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

/** With a tube seated no die goes back so far: it bears on the tube, or on what the tube was put against. */
const FALLEN_DEG = 5

/** A sensor that is read the wrong way round takes every bend for a way back, and nothing else would show it. */
export function wayNotices(phase: Phase, angleDeg: number | null): Notice[] {
  if (phase !== 'seated' || angleDeg === null || !(angleDeg < -FALLEN_DEG)) return []
  return [
    {
      id: 'fallen',
      kind: 'doubt',
      text: `The angle fell more than ${FALLEN_DEG}° below zero, and so it is taken for no bend.`,
      hint: 'If the tube was being bent, turn the direction of the sensor round on the Sensor page; else set the datum again.',
    },
  ]
}
