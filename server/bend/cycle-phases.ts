import { comesBack, loseSight } from './cycle-hidden.ts'
import { endPlateau, openPlateau, settle, watchPlateau } from './cycle-plateau.ts'
import { type CycleOptions, type CycleState, newGo, type Report } from './cycle-state.ts'
import { at, meanOf, oldestBin, type Trail } from './trail.ts'
import { fitTurningPoint } from './turning-point.ts'

/** Looks at the trail after a bin was added to it. */
export function watchBin(state: CycleState, options: CycleOptions, report: Report): void {
  const { trail } = state
  const timeS = at(trail.timeS, trail.end - 1)
  const nowDeg = meanOf(trail, trail.short, trail.end)
  switch (state.phase) {
    case 'seated':
      learnNoise(state)
      if (nowDeg > options.startDeg) beginGo(state, timeS, nowDeg, report)
      break
    case 'bending':
    case 'held':
      underLoad(state, options, timeS, nowDeg, report)
      break
    case 'letting-off':
      lettingOff(state, options, timeS, nowDeg, report)
      break
    case 'settled':
      settled(state, options, timeS, nowDeg, report)
      break
    case 'hidden':
      hidden(state, timeS, nowDeg, report)
  }
}

/** Reach of the noise's memory, bins: a third of a second at 200 Hz. */
const NOISE_BINS = 64
/** A second difference beyond this many times the usual is a jerk, not noise. */
const NOISE_CLIP = 25

/** Second differences do not see a drift; for white noise their variance is six times its own. */
function learnNoise(state: CycleState): void {
  const { angleDeg, end } = state.trail
  const bendDeg = at(angleDeg, end - 1) - 2 * at(angleDeg, end - 2) + at(angleDeg, end - 3)
  const clipped = Math.min(bendDeg ** 2 / 6, NOISE_CLIP * state.noiseVariance + 1e-9)
  state.noiseVariance += (clipped - state.noiseVariance) / NOISE_BINS
}

function beginGo(state: CycleState, timeS: number, nowDeg: number, report: Report): void {
  state.go += 1
  state.now = newGo()
  beginStroke(state, timeS, nowDeg, report)
}

function beginStroke(state: CycleState, timeS: number, nowDeg: number, report: Report): void {
  state.now.strokes += 1
  // A release that was seen on the way down is none when the load comes back.
  state.now.releasedSeDeg = -1
  state.strokeAtS = timeS
  state.topDeg = nowDeg
  state.phase = 'bending'
  report({ kind: 'bending', timeS, stroke: state.now.strokes, go: state.go })
}

/** Slower than this it stands still; a creeping tube and a leaking valve stay below. */
const STILL_DEG_PER_S = 0.4
/** A stroke goes on when the die is this far past where it was held: more than creep and noise do. */
const STROKE_MIN_DEG = 0.3

function underLoad(
  state: CycleState,
  options: CycleOptions,
  timeS: number,
  nowDeg: number,
  report: Report,
): void {
  const { trail } = state
  state.topDeg = Math.max(state.topDeg, nowDeg)
  const shortSdDeg = Math.sqrt(state.noiseVariance / (trail.end - trail.short))
  if (nowDeg < state.topDeg - Math.max(options.letOffDeg, 5 * shortSdDeg)) {
    letOff(state, timeS, nowDeg)
    return
  }
  const lateDeg = meanOf(trail, trail.late, trail.end)
  if (!standsStill(state, lateDeg)) {
    if (state.phase === 'held' && nowDeg > state.heldDeg + STROKE_MIN_DEG)
      beginStroke(state, timeS, nowDeg, report)
    return
  }
  learnNoise(state)
  if (state.phase === 'bending') hold(state, timeS, lateDeg, report)
  else {
    state.heldDeg = lateDeg
    notePeak(state, lateDeg, timeS, PEAK_GAIN_DEG)
  }
}

function standsStill(state: CycleState, lateDeg: number): boolean {
  const { trail, noiseVariance } = state
  const lateBins = trail.end - trail.late
  const earlyBins = trail.late - trail.early
  const apartS = (at(trail.timeS, trail.end - 1) - at(trail.timeS, trail.early)) / 2
  const apartDeg = lateDeg - meanOf(trail, trail.early, trail.late)
  const noiseDeg = 2.5 * Math.sqrt(noiseVariance * (1 / lateBins + 1 / earlyBins))
  const limitDeg = STILL_DEG_PER_S * apartS + noiseDeg
  // About a top without a hold, rise and fall may cancel in the halves; not in the newest quarter as well.
  const newestDeg = meanOf(trail, trail.short, trail.end) - lateDeg
  return apartS > 0.15 && Math.abs(apartDeg) < limitDeg && Math.abs(newestDeg) < limitDeg
}

function hold(state: CycleState, timeS: number, lateDeg: number, report: Report): void {
  const { trail } = state
  state.phase = 'held'
  state.heldDeg = lateDeg
  state.heldAtS = timeS
  const nearS = at(trail.timeS, trail.early)
  const top = fitTurningPoint(stretchOf(state, nearS - BEFORE_TOP_S, timeS), false)
  notePeak(state, top.peakDeg, top.peakAtS, 0)
  report({ kind: 'held', timeS, angleDeg: lateDeg })
}

/** Once a top was found at the start of a hold, only a clear gain replaces it: the largest of many means is biased. */
const PEAK_GAIN_DEG = 0.02

function notePeak(state: CycleState, peakDeg: number, peakAtS: number, gainDeg: number): void {
  const { now } = state
  if (now.peakDeg >= 0 && peakDeg < now.peakDeg + gainDeg) return
  now.peakDeg = peakDeg
  now.peakAtS = peakAtS
}

/** Rise enough to tell its rate, before the longest hold that was not yet seen as one. */
const BEFORE_TOP_S = 0.85
/** The longest such hold, and fall enough to tell when it began. */
const AFTER_TOP_S = 0.6
/** So much of the fall is waited for before the top is read. */
const FALL_SEEN_S = 0.15
/** A hold this long after it was seen as one was read then, before the fall could disturb it. */
const HOLD_READ_S = 0.3

function letOff(state: CycleState, timeS: number, nowDeg: number): void {
  const { trail } = state
  const wellHeld = state.phase === 'held' && timeS - state.heldAtS > HOLD_READ_S
  const topBin = wellHeld ? lastHeldBin(state) : highestBin(state)
  state.phase = 'letting-off'
  state.lowDeg = nowDeg
  state.peakDueS = wellHeld ? timeS : Math.max(timeS, at(trail.timeS, topBin) + FALL_SEEN_S)
  state.peakRead = wellHeld
  openPlateau(state, topBin, timeS)
}

/** Less than the tube relaxes on a hold, more than a mean of three bins scatters. */
const HELD_BAND_DEG = 0.1

/** Newest bin at which the die was still where it was held. */
function lastHeldBin({ trail, heldDeg }: CycleState): number {
  let bin = trail.end - 2
  while (bin > trail.early && meanOf(trail, bin - 1, bin + 2) < heldDeg - HELD_BAND_DEG) bin -= 1
  return bin
}

/** Bin about which a very short mean is highest in the stroke in hand. */
function highestBin(state: CycleState): number {
  const { trail } = state
  const half = (trail.end - trail.short) >> 3
  const first = Math.max(oldestBin(trail), firstBin(trail, state.strokeAtS - 0.1)) + half
  let best = trail.end - 1 - half
  let bestDeg = meanOf(trail, best - half, best + half + 1)
  for (let bin = best - 1; bin >= first; bin -= 1) {
    const angleDeg = meanOf(trail, bin - half, bin + half + 1)
    if (angleDeg <= bestDeg) continue
    best = bin
    bestDeg = angleDeg
  }
  return best
}

function firstBin(trail: Trail, fromS: number): number {
  let bin = trail.end - 1
  while (bin > oldestBin(trail) && at(trail.timeS, bin - 1) >= fromS) bin -= 1
  return bin
}

function stretchOf(state: CycleState, fromS: number, toS: number) {
  const { trail, strokeAtS } = state
  const timeS: number[] = []
  const angleDeg: number[] = []
  const first = firstBin(trail, Math.max(fromS, strokeAtS - 0.05))
  for (let bin = first; bin < trail.end && at(trail.timeS, bin) <= toS; bin += 1) {
    timeS.push(at(trail.timeS, bin))
    angleDeg.push(at(trail.angleDeg, bin))
  }
  return { timeS, angleDeg }
}

/**
 * What was read on a hold that the fall cut short is replaced, even by less; a stroke before this one, after which
 * the load was taken off in part, may have gone further, by more than such a reading errs.
 */
const REREAD_DEG = 0.5

function readPeak(state: CycleState, timeS: number, report: Report): void {
  const { now, fall } = state
  if (!state.peakRead) {
    const topS = fall.timeS[0] ?? timeS
    const stretch = stretchOf(state, topS - BEFORE_TOP_S, topS + AFTER_TOP_S)
    const top = fitTurningPoint(stretch, true)
    notePeak(state, top.peakDeg, top.peakAtS, -REREAD_DEG)
  }
  state.peakDueS = null
  report({ kind: 'letting-off', timeS, peakDeg: now.peakDeg, peakAtS: now.peakAtS })
}

/** Up again by this much before it settled, the load is back: the go goes on. */
const RELOAD_MIN_DEG = 0.5
/** A die may ring when it is let off fast; it never rings up by a third of its fall. */
const RELOAD_SHARE = 0.33

function lettingOff(
  state: CycleState,
  options: CycleOptions,
  timeS: number,
  nowDeg: number,
  report: Report,
): void {
  if (state.peakDueS !== null && timeS >= state.peakDueS) readPeak(state, timeS, report)
  const isHidden = options.losesSight && state.peakDueS === null
  if (isHidden) loseSight(state, options, { timeS, angleDeg: nowDeg }, report)
  if (state.phase !== 'letting-off') return
  state.lowDeg = Math.min(state.lowDeg, nowDeg)
  const reloadDeg = Math.max(RELOAD_MIN_DEG, RELOAD_SHARE * (state.topDeg - state.lowDeg))
  if (nowDeg > state.lowDeg + reloadDeg) {
    beginStroke(state, timeS, nowDeg, report)
    return
  }
  if (!isHidden) settle(state, options, timeS, nowDeg, report)
}

function hidden(state: CycleState, timeS: number, nowDeg: number, report: Report): void {
  const next = comesBack(state, nowDeg)
  if (next === 'stroke') beginStroke(state, timeS, nowDeg, report)
  if (next !== 'go') return
  state.before = state.now
  beginGo(state, timeS, nowDeg, report)
}

function settled(
  state: CycleState,
  options: CycleOptions,
  timeS: number,
  nowDeg: number,
  report: Report,
): void {
  learnNoise(state)
  watchPlateau(state, timeS, report)
  const { releasedDeg } = state.now
  if (nowDeg > releasedDeg + RELOAD_MIN_DEG) {
    endPlateau(state, timeS, report)
    state.before = state.now
    beginGo(state, timeS, nowDeg, report)
  } else if (nowDeg < releasedDeg - options.takenOutDeg) {
    endPlateau(state, timeS, report)
    state.phase = 'out'
    report({ kind: 'taken-out', timeS })
  }
}
