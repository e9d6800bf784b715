/**
 * One stop that was called and followed, as a record holds it. What passes between the call and the standstill
 * is reaction, coast of the valve and delay of the filter: the operator's and the bender's, never the tube's.
 */
export interface FollowedStop {
  /** Angle, and rate in degrees a second, when the stop was called. */
  readonly cueDeg: number
  readonly rateDegPerS: number
  /** Where the die stood still. */
  readonly peakDeg: number
}

/** How far ahead the stop is called, and on how many stops that rests. */
export interface StopLead {
  readonly leadS: number
  readonly standardErrorS: number
  /** Standard deviation of where the die then stands about the mark, degrees. */
  readonly stopSdDeg: number
  readonly stops: number
}

/**
 * Before the first stop: a heard signal takes about 0.2 s, a seen one 0.25 s (common practice, no source). Operators
 * and valves differ by about half of that (judgement, no source).
 */
const PRIOR = { leadS: 0.2, sdS: 0.1 }

/** One operator's scatter from stop to stop, seconds, and what an angle adds to it at any rate, degrees (judgement). */
const SCATTER = { reactionS: 0.05, angleDeg: 0.1 }

/**
 * About the mark, before any stop was seen: what `SCATTER` makes at the 2° a second of a slow approach, believed as
 * firmly as if four stops had shown it (judgement, no source).
 */
const STOP_PRIOR = { sdDeg: 0.14, stops: 4 }

/** Below this rate a stop tells of the angle's noise and not of anyone's reaction. */
const RATE_MIN_DEG_PER_S = 0.5

/** Outside of this the stop was not followed: the operator stopped before it, or went on for reasons of his own. */
const FOLLOWED_S = { min: -0.1, max: 1.2 }

/** A lead beyond these would call the stop from noise alone, or before there is a bend. */
const LEAD_S = { min: 0, max: 0.8 }

/** Degrees of freedom of the weights: a stop far from the others counts little (Lange, Little & Taylor, 1989). */
const FREEDOM = 4
/** Of fewer stops none can be told to be the odd one. */
const WEIGHED_FROM = 4

interface Told {
  readonly leadS: number
  readonly rateDegPerS: number
  readonly varS2: number
}

/** What one stop says of the lead; null when it says nothing. */
function toldBy({ cueDeg, rateDegPerS, peakDeg }: FollowedStop): Told | null {
  if (!(rateDegPerS >= RATE_MIN_DEG_PER_S)) return null
  const leadS = (peakDeg - cueDeg) / rateDegPerS
  if (!(leadS >= FOLLOWED_S.min && leadS <= FOLLOWED_S.max)) return null
  return {
    leadS,
    rateDegPerS,
    varS2: SCATTER.reactionS ** 2 + (SCATTER.angleDeg / rateDegPerS) ** 2,
  }
}

/** The middle of prior and stops, each by its weight over its variance. */
function middle(told: readonly Told[], weights: readonly number[]): { leadS: number; sdS: number } {
  let precision = 1 / PRIOR.sdS ** 2
  let sum = PRIOR.leadS * precision
  told.forEach(({ leadS, varS2 }, nth) => {
    const share = (weights[nth] ?? 1) / varS2
    precision += share
    sum += share * leadS
  })
  return { leadS: sum / precision, sdS: Math.sqrt(1 / precision) }
}

/** Where the die stood, had each stop been called so far ahead: about the mark, by prior and stops. */
function stopSdDeg(told: readonly Told[], weights: readonly number[], leadS: number): number {
  let squares = STOP_PRIOR.stops * STOP_PRIOR.sdDeg ** 2
  told.forEach((one, nth) => {
    squares += (weights[nth] ?? 1) * ((one.leadS - leadS) * one.rateDegPerS) ** 2
  })
  return Math.sqrt(squares / (STOP_PRIOR.stops + told.length))
}

/** Twenty rounds settle the weights to the last digit that is recorded. */
const ROUNDS = 20

/**
 * The lead of one operator at one bender: prior and stops, normal with known scatter, stops weighted as by
 * Student-t with four degrees of freedom once there are enough. The same stops give the same digits.
 *
 * @param stops All that are to count; how many is the caller's to choose.
 */
export function stopLeadFrom(stops: readonly FollowedStop[]): StopLead {
  const told = stops.map(toldBy).filter((one) => one !== null)
  let weights: number[] = told.map(() => 1)
  let { leadS, sdS } = middle(told, weights)
  for (let round = 0; told.length >= WEIGHED_FROM && round < ROUNDS; round++) {
    weights = told.map((one) => (FREEDOM + 1) / (FREEDOM + (one.leadS - leadS) ** 2 / one.varS2))
    ;({ leadS, sdS } = middle(told, weights))
  }
  const within = Math.min(LEAD_S.max, Math.max(LEAD_S.min, leadS))
  return {
    leadS: within,
    standardErrorS: sdS,
    stopSdDeg: stopSdDeg(told, weights, within),
    stops: told.length,
  }
}
