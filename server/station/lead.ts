import { type FollowedStop, type StopLead, stopLeadFrom } from '../bend/stop-lead.ts'
import { COUNTS_LOST } from '../blocks/unwrap.ts'
import type { Hands, History } from '../history/history.ts'
import type { NewBend } from '../messages/bends.ts'
import { millionths } from './coach.ts'
import { isGivenUp } from './record.ts'

/** The lead before any stop was seen, and where it is not known whose hand it is. */
export const FIRST_LEAD_S = millionths(stopLeadFrom([]).leadS)

const rounded = ({ leadS, standardErrorS, stopSdDeg, stops }: StopLead): StopLead => ({
  leadS: millionths(leadS),
  standardErrorS: millionths(standardErrorS),
  stopSdDeg: millionths(stopSdDeg),
  stops,
})

/** So many bends of the same hands count: a week or two. Hands and valves change. */
export const BENDS_MAX = 60

function stopsOf({ closedBy, goes }: Pick<NewBend, 'closedBy' | 'goes'>): FollowedStop[] {
  if (isGivenUp(closedBy) || closedBy === COUNTS_LOST) return []
  return goes.flatMap(({ cueDeg, cueRateDegPerS: rateDegPerS, peakDeg, ...go }) => {
    // A go that was cut off under load may have gone on after it was last seen.
    const wasLetOff = go.releasedDeg !== null || go.releasedFrom !== undefined
    const isKnown = wasLetOff && cueDeg !== null && rateDegPerS !== null
    return isKnown ? [{ cueDeg, rateDegPerS, peakDeg }] : []
  })
}

const areSame = (one: Hands, other: Hands): boolean =>
  one.operator === other.operator &&
  one.station === other.station &&
  one.simulated === other.simulated

const handsOf = ({ job, setup, simulated }: NewBend): Hands => ({
  operator: job.operator,
  station: setup.station,
  simulated,
})

/**
 * Learns from the history how far ahead the stop is to be called for whoever bends now, and how closely they stop: from the newest bends of
 * the same hands, and from nothing else, so that it is the same after a restart.
 */
export function makeLead(history: Pick<History, 'bendsByHands'>) {
  let hands: Hands | null = null
  /** A bend each, oldest first; one without a stop that says anything has its place too. */
  let bends: readonly (readonly FollowedStop[])[] = []
  let lead: StopLead = rounded(stopLeadFrom([]))

  function take(next: readonly (readonly FollowedStop[])[]): void {
    bends = next.slice(-BENDS_MAX)
    lead = rounded(stopLeadFrom(bends.flat()))
  }

  return {
    /** @throws HistoryError when the stops cannot be read; the lead is then as before any. */
    use(next: Hands): void {
      // Of the same hands more may be known here than in the history: bends that wait for the disk.
      if (hands !== null && areSame(hands, next)) return
      hands = null
      take([])
      take(history.bendsByHands(next, BENDS_MAX).map(stopsOf))
      hands = next
    },
    /** The history says otherwise than when it was read: the next `use` reads it again. */
    forget(): void {
      hands = null
    },
    hear(bend: NewBend): void {
      if (hands !== null && areSame(hands, handsOf(bend))) take([...bends, stopsOf(bend)])
    },
    now: (): StopLead => lead,
  }
}
