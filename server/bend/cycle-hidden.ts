import { type CycleOptions, type CycleState, newGo, type Report } from './cycle-state.ts'
import { at as atBin, meanOf } from './trail.ts'

/**
 * A sensor on the arm loses sight of the tube when it is let off: the arm leaves it, and what it then shows is
 * the arm. Where the tube stands has to come from elsewhere, and as long as it does not, it is not known.
 */

/** What is known of where the tube stands, and from what. */
export interface Release {
  readonly from: 'pressure' | 'switch' | 'touch' | 'checked'
  readonly timeS: number
  readonly angleDeg: number
  /** Standard error; null where nobody can tell, as of an angle that was read off a gauge. */
  readonly seDeg: number | null
}

/** Taken no further than this, all of it springs back, or a hand has moved the arm: nothing was bent. */
const BENT_FROM_DEG = 2
/** As for a stroke on the die: more than creep and noise. */
const BEYOND_DEG = 0.3
/** So far past where it met the tube, the arm has loaded it. */
const MET_DEG = 0.5
/** No tube comes back by half of its bend: the arm was somewhere else. */
export const LEAST_SHARE = 0.5

/**
 * The load is off and the top is read: from here on the angle is that of the arm alone. What was only a knock is
 * over when the arm is back.
 */
export function loseSight(
  state: CycleState,
  { startDeg }: CycleOptions,
  at: { readonly timeS: number; readonly angleDeg: number },
  report: Report,
): void {
  const { now, go } = state
  const { timeS } = at
  if (now.peakDeg < BENT_FROM_DEG) {
    if (at.angleDeg > startDeg) return
    report({ kind: 'false-start', timeS })
    state.go -= 1
    state.now = newGo()
    state.phase = 'seated'
    return
  }
  state.phase = 'hidden'
  const { strokes, peakDeg, peakAtS } = now
  report({ kind: 'let-off', timeS, go, strokes, peakDeg, peakAtS })
  if (now.releasedSeDeg >= 0) report({ kind: 'settled', timeS, go, ...now })
}

/**
 * What begins when the arm comes back. Where the tube stands is where the arm meets it; as long as that is not
 * known, nothing has begun before the arm has passed where it was.
 */
export function comesBack(state: CycleState, nowDeg: number): 'go' | 'stroke' | null {
  const { now } = state
  // The short mean is still on its way down when a release is already known.
  state.lowDeg = Math.min(state.lowDeg, nowDeg)
  if (now.releasedSeDeg < 0) return nowDeg > now.peakDeg + BEYOND_DEG ? 'stroke' : null
  const fromDeg = Math.max(state.lowDeg, now.releasedDeg)
  const isMet = now.releasedFrom !== 'checked' && nowDeg > fromDeg + MET_DEG
  return isMet || nowDeg > now.peakDeg + BEYOND_DEG ? 'go' : null
}

/**
 * Where the tube stands is known now. It is taken for the go that was let off, or is being; an angle that no tube
 * comes back to is passed over, and so is one that is no less than the top: a stroke's end, held by a pawl.
 */
export function seeRelease(
  state: CycleState,
  { letOffDeg }: CycleOptions,
  release: Release,
  report: Report,
): void {
  const { phase, now, topDeg } = state
  // What was measured is not replaced by what was read off a gauge.
  if (release.from === 'checked' && now.releasedSeDeg >= 0 && now.releasedFrom !== 'checked') return
  const isUnderLoad = phase === 'bending' || phase === 'held' || phase === 'letting-off'
  if (!(phase === 'hidden' || (isUnderLoad && release.from !== 'checked'))) return
  const peakDeg = phase === 'hidden' ? now.peakDeg : Math.max(now.peakDeg, topDeg)
  const { angleDeg, seDeg, timeS, from } = release
  // A gauge may show less springback than an arm's own play would let one believe.
  const mostDeg = from === 'checked' ? peakDeg : peakDeg - letOffDeg
  if (!(angleDeg < mostDeg && angleDeg > LEAST_SHARE * peakDeg)) return
  now.releasedDeg = angleDeg
  now.releasedSeDeg = seDeg ?? 0
  now.releasedAtS = timeS
  now.releasedFrom = from
  if (phase === 'hidden') report({ kind: 'settled', timeS, go: state.go, ...now })
}

/** Older than this, the angle is of where the arm was before it left. */
const STALE_S = 0.3

/** The arm touches the tube now: where it stands, with its noise, or with its motion where that is more. */
export function touchNow({ trail, noiseVariance }: CycleState, timeS: number): Release | null {
  const isThere = trail.end > trail.late && timeS - atBin(trail.timeS, trail.end - 1) < STALE_S
  if (!isThere) return null
  const bins = trail.end - trail.late
  const angleDeg = meanOf(trail, trail.late, trail.end)
  const movedDeg = Math.abs(
    atBin(trail.angleDeg, trail.end - 1) - atBin(trail.angleDeg, trail.late),
  )
  const seDeg = Math.max(Math.sqrt(noiseVariance / bins), movedDeg / Math.sqrt(12))
  return { from: 'touch', timeS, angleDeg, seDeg }
}
