import { type CycleOptions, type CycleState, newGo, type Report } from './cycle-state.ts'
import { clearFallLog, extendFallLog, truncateFallLog } from './fall-log.ts'
import { findPlateau, type Plateau } from './plateau.ts'
import { at } from './trail.ts'

/** Ten looks a second are soon enough for the eye. */
const LOOK_S = 0.1
/** Good enough to speak of at once: a fortieth of a usual tolerance of one degree. */
const SE_READY_DEG = 0.025
/** A noisy sensor never gets there; then it is said after this long, with its error. */
const READY_AFTER_S = 1.5
/** Known no better than this, it is not known: a tenth of a usual tolerance. */
const SE_MAX_DEG = 0.1
/** Longer adds nothing to the mean, and a slow drift would begin to count. */
const PLATEAU_MAX_S = 10

/** Starts to log what follows the top. */
export function openPlateau(state: CycleState, topBin: number, timeS: number): void {
  const { trail, fall } = state
  clearFallLog(fall)
  for (let bin = topBin; bin < trail.end; bin += 1)
    extendFallLog(fall, at(trail.timeS, bin), at(trail.angleDeg, bin))
  state.lookAtS = timeS + LOOK_S
}

/** Looks whether the die has come to rest after letting off. */
export function settle(
  state: CycleState,
  options: CycleOptions,
  timeS: number,
  nowDeg: number,
  report: Report,
): void {
  const { trail, fall } = state
  extendFallLog(fall, timeS, at(trail.angleDeg, trail.end - 1))
  if (state.peakDueS !== null || timeS < state.lookAtS) return
  state.lookAtS = timeS + LOOK_S
  if (state.now.peakDeg - nowDeg > springbackMaxDeg(state.now.peakDeg)) {
    takeOutUnmeasured(state, timeS, report)
    return
  }
  const plateau = findPlateau(fall, state.quantumDeg)
  if (!plateau || !ready(plateau, timeS)) return
  if (bentNothing(state, options, plateau.levelDeg))
    falseStart(state, options, timeS, nowDeg, report)
  else {
    state.phase = 'settled'
    state.ended = false
    state.driftUpDeg = 0
    state.driftDownDeg = 0
    state.upSinceS = timeS
    state.downSinceS = timeS
    state.blockFromS = timeS
    reportSettled(state, timeS, plateau, report)
  }
}

const ready = (plateau: Plateau, timeS: number): boolean =>
  plateau.seDeg <= SE_READY_DEG ||
  (timeS - plateau.fromS > READY_AFTER_S && plateau.seDeg <= SE_MAX_DEG)

/**
 * No tube comes back further: beyond, a hand has turned the die. Hard tube on a large die comes back by a fifth
 * of its angle (common practice, no source); 5° more for a soft machine.
 */
const springbackMaxDeg = (peakDeg: number): number => 5 + 0.3 * peakDeg

/** Least that another go gains, if it went no further than the one before. */
const GAIN_MIN_DEG = 0.15

function bentNothing(state: CycleState, options: CycleOptions, levelDeg: number): boolean {
  const { before } = state
  if (before.releasedSeDeg < 0) return levelDeg < options.startDeg
  return levelDeg < before.releasedDeg + GAIN_MIN_DEG && wentNoFurther(state)
}

/** Loaded again, but no further than the go before: a tube does not set any more by that. */
export function wentNoFurther({ before, now, topDeg }: CycleState): boolean {
  const furthestDeg = now.peakDeg < 0 ? topDeg : now.peakDeg
  return before.releasedSeDeg >= 0 && furthestDeg < before.peakDeg + GAIN_MIN_DEG
}

function falseStart(
  state: CycleState,
  options: CycleOptions,
  timeS: number,
  nowDeg: number,
  report: Report,
): void {
  const { before } = state
  report({ kind: 'false-start', timeS })
  state.go -= 1
  state.ended = true
  state.phase = before.releasedSeDeg < 0 ? 'seated' : 'settled'
  state.now = before.releasedSeDeg < 0 ? newGo() : before
  state.before = newGo()
  if (state.phase === 'settled' && nowDeg < before.releasedDeg - options.takenOutDeg) {
    state.phase = 'out'
    report({ kind: 'taken-out', timeS })
  }
}

function takeOutUnmeasured(state: CycleState, timeS: number, report: Report): void {
  if (wentNoFurther(state)) report({ kind: 'false-start', timeS })
  state.phase = 'out'
  report({ kind: 'taken-out', timeS })
}

function reportSettled(state: CycleState, timeS: number, plateau: Plateau, report: Report): void {
  const { go, now } = state
  now.releasedDeg = plateau.levelDeg
  now.releasedSeDeg = plateau.seDeg
  now.releasedAtS = plateau.fromS
  report({ kind: 'settled', timeS, go, ...now })
}

/** Lets the plateau grow, and sees when it ends. */
export function watchPlateau(state: CycleState, timeS: number, report: Report): void {
  if (state.ended) return
  const { trail, fall } = state
  extendFallLog(fall, timeS, at(trail.angleDeg, trail.end - 1))
  if (timeS - state.blockFromS >= LOOK_S) watchDrift(state, timeS, report)
  if (state.ended || timeS < state.lookAtS) return
  // Looks get rarer as the plateau grows: each is to have a fifth more to see.
  const lastedS = timeS - state.now.releasedAtS
  state.lookAtS = timeS + Math.max(LOOK_S, lastedS / 5)
  // What may be the start of a move is not taken in before it is known not to be one.
  if (state.driftUpDeg === 0 && state.driftDownDeg === 0) improve(state, timeS, report)
  if (lastedS > PLATEAU_MAX_S) endPlateau(state, timeS, report)
}

/** Says the released angle again when it is clearly better known, or clearly another. */
function improve(state: CycleState, timeS: number, report: Report): void {
  const { now } = state
  const plateau = findPlateau(state.fall, state.quantumDeg)
  if (!plateau) return
  const movedDeg = Math.abs(plateau.levelDeg - now.releasedDeg)
  if (plateau.seDeg < 0.7 * now.releasedSeDeg || movedDeg > Math.max(0.002, now.releasedSeDeg / 2))
    reportSettled(state, timeS, plateau, report)
}

/** Shift that is let pass in the mean of a block, and the sum that is not; degrees. */
const DRIFT_SLACK_DEG = 0.03
const DRIFT_LIMIT_DEG = 0.15

/** CUSUM both ways over block means (E. S. Page, Biometrika 41 (1954) 100–115, quoted from memory). */
function watchDrift(state: CycleState, timeS: number, report: Report): void {
  const { trail, now } = state
  const bins = trail.end - trail.short
  let sum = 0
  for (let bin = trail.short; bin < trail.end; bin += 1) sum += at(trail.angleDeg, bin)
  const offDeg = sum / bins - now.releasedDeg
  const sdDeg = Math.sqrt(state.noiseVariance / bins)
  const slackDeg = DRIFT_SLACK_DEG + 2 * sdDeg
  state.blockFromS = timeS
  state.driftUpDeg = Math.max(0, state.driftUpDeg + offDeg - slackDeg)
  state.driftDownDeg = Math.max(0, state.driftDownDeg - offDeg - slackDeg)
  if (state.driftUpDeg === 0) state.upSinceS = timeS
  if (state.driftDownDeg === 0) state.downSinceS = timeS
  const limitDeg = DRIFT_LIMIT_DEG + 5 * sdDeg
  if (Math.max(state.driftUpDeg, state.driftDownDeg) > limitDeg) endPlateau(state, timeS, report)
}

/** The die was moved: the plateau is what lay before the CUSUM began to rise. */
export function endPlateau(state: CycleState, timeS: number, report: Report): void {
  if (state.ended) return
  state.ended = true
  const upwards = state.driftUpDeg > state.driftDownDeg
  truncateFallLog(state.fall, (upwards ? state.upSinceS : state.downSinceS) - LOOK_S)
  improve(state, timeS, report)
}

/** Nothing more will come: says the released angle as well as it is known by now, with its error. */
export function concludePlateau(state: CycleState, timeS: number, report: Report): void {
  if (state.phase === 'settled' && !state.ended) improve(state, timeS, report)
  if (state.phase !== 'letting-off' || state.peakDueS !== null || wentNoFurther(state)) return
  const plateau = findPlateau(state.fall, state.quantumDeg)
  if (!plateau || plateau.seDeg > SE_MAX_DEG) return
  // A knock goes back to where it came from; no tube comes back by half of its bend.
  if (plateau.levelDeg < state.now.peakDeg / 2) return
  state.phase = 'settled'
  reportSettled(state, timeS, plateau, report)
}
