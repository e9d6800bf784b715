import { type FollowedStop, STOPS_MAX, type StopLead, stopLeadFrom } from '../bend/stop-lead.ts'
import type { History } from '../history/history.ts'
import type { NewBend } from '../messages/bends.ts'
import { millionths } from './coach.ts'
import { isGivenUp } from './record.ts'

/** Whose stops are meant: at another bender, or on a simulated one, the same hands are other hands. */
export interface Hands {
  readonly operator: string
  readonly station: string
  readonly simulated: boolean
}

/** The lead before any stop was seen, and where it is not known whose hand it is. */
export const FIRST_LEAD_S = millionths(stopLeadFrom([]).leadS)

function* stopsOf(bend: Pick<NewBend, 'closedBy' | 'goes'>): Iterable<FollowedStop> {
  if (isGivenUp(bend.closedBy)) return
  for (const { cueDeg, cueRateDegPerS: rateDegPerS, peakDeg, ...go } of bend.goes) {
    // A go that was cut off under load may have gone on after it was last seen.
    const wasLetOff = go.releasedDeg !== null || go.releasedFrom !== undefined
    if (wasLetOff && cueDeg !== null && rateDegPerS !== null) yield { cueDeg, rateDegPerS, peakDeg }
  }
}

const isBy = ({ station, simulated }: Hands, bend: Pick<NewBend, 'setup' | 'simulated'>): boolean =>
  bend.setup.station === station && bend.simulated === simulated

/**
 * Learns from the history how far ahead the stop is to be called for whoever bends now: only ever this, so that
 * it is the same after a restart.
 */
export function makeLead(history: Pick<History, 'bendsByOperator'>) {
  let hands: Hands | null = null
  let stops: FollowedStop[] = []
  let lead: StopLead = stopLeadFrom(stops)

  function learn(more: Iterable<FollowedStop>): void {
    stops = [...stops, ...more].slice(-STOPS_MAX)
    const { leadS, standardErrorS, stops: count } = stopLeadFrom(stops)
    lead = { leadS: millionths(leadS), standardErrorS: millionths(standardErrorS), stops: count }
  }

  return {
    /** @throws HistoryError when the stops cannot be read; the lead is then as before any. */
    use(next: Hands): void {
      hands = next
      stops = []
      learn([])
      // As many bends as stops are remembered: each that taught has one at least.
      const bends = history.bendsByOperator(next.operator, STOPS_MAX)
      learn(bends.filter((bend) => isBy(next, bend)).flatMap((bend) => [...stopsOf(bend)]))
    },
    hear(bend: NewBend): void {
      if (hands !== null && bend.job.operator === hands.operator && isBy(hands, bend))
        learn(stopsOf(bend))
    },
    now: (): StopLead => lead,
  }
}
