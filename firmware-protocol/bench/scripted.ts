import type { Motion, PedalEdge } from './motion.ts'

/** One piece of a written trajectory. Angles in degrees, times in seconds. */
export type Segment =
  | { readonly moveToDeg: number; readonly rateDegPerS: number }
  | { readonly holdS: number }
  /** Falls by `letOffDeg` as a load that is bled off: the rest shrinks by e every `tauS`. */
  | { readonly letOffDeg: number; readonly tauS: number }
  | { readonly pedal: PedalEdge }

/** After this many time constants the load is off: e^−12 of 5° is 0.00003°. */
const LET_OFF_TAUS = 12
const SEGMENTS_MAX = 10_000

/** A segment with its place: where it starts, how long it takes, where it is at `t` seconds into it. */
interface Leg {
  readonly durationS: number
  angleDeg(t: number): number
  readonly pedal: PedalEdge | null
}

export interface ScriptedMotion extends Motion {
  /** True once every segment is done; the die then rests. */
  ended(): boolean
}

/**
 * Plays a written trajectory: "taken to 32.0, stands at 30.8", to the digit.
 * @throws RangeError naming the segment that cannot be played.
 */
export function playScript(segments: readonly Segment[], startDeg = 0): ScriptedMotion {
  const legs = layOut(segments, startDeg)
  const edges: PedalEdge[] = []
  let index = 0
  let intoS = 0
  let angleDeg = startDeg

  const runInstantLegs = (): void => {
    for (let leg = legs[index]; leg && intoS >= leg.durationS; leg = legs[index]) {
      intoS -= leg.durationS
      angleDeg = leg.angleDeg(leg.durationS)
      if (leg.pedal) edges.push(leg.pedal)
      index++
    }
  }
  return {
    advance(dtS) {
      intoS += dtS
      runInstantLegs()
      const leg = legs[index]
      if (leg) angleDeg = leg.angleDeg(intoS)
    },
    angleDeg: () => angleDeg,
    takePedal: () => edges.splice(0),
    ended: () => index >= legs.length,
  }
}

function layOut(segments: readonly Segment[], startDeg: number): Leg[] {
  if (segments.length > SEGMENTS_MAX)
    throw new RangeError(`A script holds at most ${SEGMENTS_MAX} segments, got ${segments.length}.`)
  let fromDeg = startDeg
  return segments.map((segment, at) => {
    const leg = legOf(segment, fromDeg)
    if (!(leg.durationS >= 0 && Number.isFinite(leg.angleDeg(leg.durationS))))
      throw new RangeError(`Segment ${at + 1} cannot be played: ${JSON.stringify(segment)}.`)
    fromDeg = leg.angleDeg(leg.durationS)
    return leg
  })
}

function legOf(segment: Segment, fromDeg: number): Leg {
  if ('moveToDeg' in segment) {
    const byDeg = segment.moveToDeg - fromDeg
    const durationS = segment.rateDegPerS > 0 ? Math.abs(byDeg) / segment.rateDegPerS : Number.NaN
    const share = (t: number): number => (durationS === 0 ? 1 : t / durationS)
    return { durationS, angleDeg: (t) => fromDeg + byDeg * share(t), pedal: null }
  }
  if ('letOffDeg' in segment) {
    const { letOffDeg, tauS } = segment
    const durationS = tauS > 0 ? LET_OFF_TAUS * tauS : Number.NaN
    const angleDeg = (t: number): number => fromDeg - letOffDeg * (1 - Math.exp(-t / tauS))
    return { durationS, angleDeg, pedal: null }
  }
  if ('holdS' in segment) return { durationS: segment.holdS, angleDeg: () => fromDeg, pedal: null }
  const known = segment.pedal === 'down' || segment.pedal === 'up'
  return { durationS: known ? 0 : Number.NaN, angleDeg: () => fromDeg, pedal: segment.pedal }
}
