import type { Hello } from '../../firmware-protocol/codec/sentence.ts'
import { type LineCounters, type Missed, noLinesYet } from '../blocks/device-feed.ts'
import type { WireState } from '../link/link.ts'
import type { LinkState } from '../messages/live.ts'

const NOTHING_MISSED: Missed = { pressureS: 0, switchS: 0 }

/** Joins what the link knows of the wire with what the chain made of its lines. */
export function makeWireWatch(first: WireState) {
  let wire = first
  let device: LinkState['device'] = null
  let counters: LineCounters = noLinesYet()
  let missed: Missed = NOTHING_MISSED
  return {
    wire(state: WireState) {
      wire = state
    },
    hello({ firmware, board, sensor, countsPerTurn, rateHz }: Hello) {
      device = { firmware, board, sensor, countsPerTurn, rateHz }
    },
    /** Another wire: what the one before said of itself is so no more. */
    forget() {
      device = null
      counters = noLinesYet()
      missed = NOTHING_MISSED
    },
    counted(now: LineCounters, missedNow: Missed) {
      counters = now
      missed = missedNow
    },
    device: () => device,
    missed: () => missed,
    state(): LinkState {
      const { state, source, reason, hint, reconnects } = wire
      const overlong = wire.overlong + counters.overlong
      return {
        state,
        source,
        reason,
        hint,
        device,
        counters: { ...counters, overlong, reconnects },
      }
    },
  }
}
