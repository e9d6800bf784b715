import type { OriginLost } from '../blocks/unwrap.ts'
import type { Notice } from '../messages/live.ts'

/** What the notices are made from. */
export interface Conditions {
  readonly storage: string | null
  readonly unsaved: number
  readonly lost: number
  readonly originLost: string | null
  readonly sensorFault: boolean
  readonly noAimWhy: string | null
  readonly leftOpen: string | null
  readonly chain: string | null
  readonly drift: string | null
  /** Readout and angle finder differ, bend after bend. */
  readonly gap: string | null
}

/** Why zero is gone, for the one at the bender. */
export const ORIGIN_LOST: Readonly<Record<OriginLost['reason'], string>> = {
  'device restarted': 'The board began anew, so its zero is lost.',
  'another board': 'Another board answers now, so the zero of the one before is lost.',
  'counts lost': 'Counts of the encoder were lost, so zero and every angle are in doubt.',
}

const bends = (count: number) => (count === 1 ? '1 bend waits' : `${count} bends wait`)

/** Every notice that stands now. Pure: it goes when its cause goes. */
export function noticesFor(conditions: Conditions): Notice[] {
  const { storage, unsaved, lost, originLost, sensorFault, noAimWhy, leftOpen, chain, drift, gap } =
    conditions
  const notices: (Notice | false)[] = [
    storage !== null && {
      id: 'storage',
      kind: 'fault',
      text: unsaved > 0 ? `${storage} ${bends(unsaved)} in memory.` : storage,
      hint: 'Free or mend the disk before switching off; the bends are then saved by themselves.',
    },
    lost > 0 && {
      id: 'lost',
      kind: 'fault',
      text: `Bends that could not be kept: ${lost}. The disk was away too long, or a record was refused.`,
      hint: 'Write the last bends down by hand.',
    },
    sensorFault && {
      id: 'sensor',
      kind: 'fault',
      text: 'The sensor reports a fault, so the angle is not to be used.',
      hint: 'Look at the sensor, its magnet and its wires.',
    },
    originLost !== null && {
      id: 'origin',
      kind: 'task',
      text: originLost,
      hint: 'Seat the tube and set the datum again.',
    },
    noAimWhy !== null && {
      id: 'no-aim',
      kind: 'doubt',
      text: noAimWhy,
      hint: 'Check OD, wall, radius and material on the Set-up page.',
    },
    chain !== null && {
      id: 'chain',
      kind: 'doubt',
      text: chain,
      hint: 'Look at the draft on the Chain page.',
    },
    leftOpen !== null && {
      id: 'left-open',
      kind: 'doubt',
      text: leftOpen,
      hint: 'It is in the history as incomplete; look at that tube again.',
    },
    drift !== null && {
      id: 'drift',
      kind: 'doubt',
      text: drift,
      hint: 'A new lot is named on the Set-up page; otherwise look at clamp, die and block.',
    },
    gap !== null && {
      id: 'readout-gap',
      kind: 'doubt',
      text: gap,
      hint: 'Check it on the Sensor page; a new calibration begins the comparison anew.',
    },
  ]
  return notices.filter((notice) => notice !== false)
}
