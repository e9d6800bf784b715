import type { Random } from './random.ts'
import { type Frame, type Piece, springbackDeg } from './tube.ts'

export interface Valve {
  readonly ram: 'hold' | 'advance' | 'retract'
  /** How far the valve is opened, as die speed. */
  readonly rateDegPerS: number
}

/** One bender with a tube in it or not. Angles on the die's own scale, degrees. */
export interface Machine {
  readonly random: Random
  dieDeg: number
  /** `free`: no tube. `slack`: the block does not bear yet. `standing`: let off, and still. */
  contact: 'free' | 'slack' | 'loaded' | 'letting-off' | 'standing'
  tube: Piece | null
  /** Where the ram would put the die. */
  ramDeg: number
  ramDegPerS: number
  spoolDegPerS: number
  /** The block bears from here on: everything before is play. */
  bearingDeg: number
  /** What the seating pressure presses the tube before the ram stalls. */
  preloadDeg: number
  /** The largest angle this tube was ever taken to. */
  mostDeg: number
  /** Creep still to come in this hold; null while the ram moves. */
  creepLeftDeg: number | null
  letOff: { toDeg: number; tauS: number }
  hand: { fromDeg: number; toDeg: number; lastsS: number; t: number } | null
}

/** A hydraulic bender of the size that bends rails. Figures here are common practice, no source. */
export const FRAME: Frame = { legMm: 40, giveDegPerNm: 1.6e-4 }
export const RAM_FAST_DEG_PER_S = 8
export const RAM_EASY_DEG_PER_S = 2
/** Up to this opening the pump's pressure takes up slack but does not bend the tube. */
export const RAM_SEATING_DEG_PER_S = 1

const ACCELERATION_DEG_PER_S2 = 45
/** The spool follows the hand with this time constant: the first half of the coast. */
const VALVE_LAG_S = 0.04
/** Below this the shut spool holds: a rate that only fades would never be zero. */
const STANDSTILL_DEG_PER_S = 0.01
const TRAVEL_DEG = 185
const PLAY_DEG = { low: 0.6, high: 2.2 }
const PRELOAD_DEG = { low: 0.01, high: 0.06 }
/** Tube and frame give a little under a held load: the die creeps on. */
const CREEP_DEG = { low: 0.02, high: 0.09 }
const CREEP_TAU_S = 0.4
/** Nothing creeps in a tube that is hardly bent. */
const CREEPS_FROM_DEG = 1
/** Letting off takes 0.05 to 0.5 s in all; four time constants leave 2 % of the fall. */
const LET_OFF_TAU_S = { low: 0.03, high: 0.12 }
/** Friction holds the die when this little is left. */
const STICKS_AT_DEG = 0.002
/** Less than this beyond the preload is no bend: it all springs back. */
const STRAIGHT_WITHIN_DEG = 0.1
/** The ram backs off the die by this much and waits there. */
const RAM_GAP_DEG = 1.2
/** Hands bring the die back to zero about this well. */
const HOME_SCATTER_DEG = 0.2
const HAND_RATE_DEG_PER_S = 60
const HAND_START_S = 0.6

/** A bender at rest, without a tube. */
export const makeMachine = (random: Random): Machine => ({
  random,
  dieDeg: 0,
  contact: 'free',
  tube: null,
  ramDeg: -RAM_GAP_DEG,
  ramDegPerS: 0,
  spoolDegPerS: 0,
  bearingDeg: 0,
  preloadDeg: 0,
  mostDeg: 0,
  creepLeftDeg: null,
  letOff: { toDeg: 0, tauS: 1 },
  hand: null,
})

/** Puts a tube in and clamps it; the block will bear after some play. */
export function seat(machine: Machine, piece: Piece): void {
  machine.tube = piece
  machine.contact = 'slack'
  machine.bearingDeg = machine.dieDeg + draw(machine, PLAY_DEG)
  machine.preloadDeg = draw(machine, PRELOAD_DEG)
  machine.mostDeg = machine.bearingDeg
  machine.ramDeg = machine.dieDeg - RAM_GAP_DEG / 2
  stopRam(machine)
}

/** Opens the clamp and begins to move the die back by hand, to near zero. */
export function takeOut(machine: Machine): void {
  machine.tube = null
  machine.contact = 'free'
  stopRam(machine)
  const fromDeg = machine.dieDeg
  const toDeg = HOME_SCATTER_DEG * machine.random.normal()
  const lastsS = HAND_START_S + Math.abs(fromDeg - toDeg) / HAND_RATE_DEG_PER_S
  machine.hand = { fromDeg, toDeg, lastsS, t: 0 }
}

/** Seated at most: the tube was pressed no further than to take up its slack. */
export const isStraight = ({ mostDeg, bearingDeg, preloadDeg }: Machine): boolean =>
  mostDeg <= bearingDeg + preloadDeg + STRAIGHT_WITHIN_DEG

/** Moves everything on by `dtS`, which should be a millisecond or so. */
export function stepMachine(machine: Machine, dtS: number, valve: Valve): void {
  if (machine.hand) moveByHand(machine, machine.hand, dtS)
  if (!machine.tube) return
  if (machine.contact === 'loaded' && valve.ram === 'retract')
    beginLettingOff(machine, machine.tube)
  if (machine.contact === 'letting-off' && valve.ram === 'advance') pressAgain(machine)
  if (machine.contact === 'letting-off') letOff(machine, dtS)
  else press(machine, dtS, valve)
}

function press(machine: Machine, dtS: number, valve: Valve): void {
  moveRam(machine, dtS, valve.ram === 'advance' ? valve.rateDegPerS : 0)
  pushDie(machine, valve)
  if (machine.contact !== 'loaded') return
  creepOn(machine, dtS)
  machine.mostDeg = Math.max(machine.mostDeg, machine.dieDeg)
}

const draw = ({ random }: Machine, { low, high }: { low: number; high: number }): number =>
  random.between(low, high)

function stopRam(machine: Machine): void {
  machine.ramDegPerS = 0
  machine.spoolDegPerS = 0
  machine.creepLeftDeg = null
}

function moveByHand(machine: Machine, hand: NonNullable<Machine['hand']>, dtS: number): void {
  hand.t += dtS
  const share = Math.min(1, hand.t / hand.lastsS)
  const smooth = share * share * (3 - 2 * share)
  machine.dieDeg = hand.fromDeg + (hand.toDeg - hand.fromDeg) * smooth
  if (share >= 1) machine.hand = null
}

function moveRam(machine: Machine, dtS: number, wantedDegPerS: number): void {
  machine.spoolDegPerS += ((wantedDegPerS - machine.spoolDegPerS) * dtS) / VALVE_LAG_S
  const mostChange = ACCELERATION_DEG_PER_S2 * dtS
  const change = machine.spoolDegPerS - machine.ramDegPerS
  machine.ramDegPerS += Math.min(mostChange, Math.max(-mostChange, change))
  if (wantedDegPerS === 0 && machine.ramDegPerS < STANDSTILL_DEG_PER_S) machine.ramDegPerS = 0
  machine.ramDeg = Math.min(TRAVEL_DEG, machine.ramDeg + machine.ramDegPerS * dtS)
}

function pushDie(machine: Machine, valve: Valve): void {
  const seating = valve.ram === 'advance' && valve.rateDegPerS <= RAM_SEATING_DEG_PER_S
  const stallsAtDeg = Math.max(machine.dieDeg, machine.bearingDeg + machine.preloadDeg)
  if (seating && machine.ramDeg > stallsAtDeg) {
    machine.ramDeg = stallsAtDeg
    machine.ramDegPerS = 0
  }
  if (machine.ramDeg <= machine.dieDeg) return
  machine.dieDeg = machine.ramDeg
  if (machine.dieDeg > machine.bearingDeg) machine.contact = 'loaded'
}

function creepOn(machine: Machine, dtS: number): void {
  if (machine.ramDegPerS > 0) {
    machine.creepLeftDeg = null
    return
  }
  const bentDeg = machine.mostDeg - machine.bearingDeg
  machine.creepLeftDeg ??= bentDeg > CREEPS_FROM_DEG ? draw(machine, CREEP_DEG) : 0
  const stepDeg = machine.creepLeftDeg * Math.min(1, dtS / CREEP_TAU_S)
  machine.creepLeftDeg -= stepDeg
  machine.dieDeg += stepDeg
  machine.ramDeg = Math.max(machine.ramDeg, machine.dieDeg)
}

function beginLettingOff(machine: Machine, tube: Piece): void {
  machine.contact = 'letting-off'
  const backDeg = springbackDeg(tube, machine.mostDeg - machine.bearingDeg)
  // A tube pressed again, but less far than before, goes back to where it stood.
  const toDeg = Math.min(machine.dieDeg, machine.mostDeg - backDeg)
  machine.letOff = { toDeg, tauS: draw(machine, LET_OFF_TAU_S) }
}

function letOff(machine: Machine, dtS: number): void {
  const { toDeg, tauS } = machine.letOff
  machine.dieDeg = toDeg + (machine.dieDeg - toDeg) * Math.exp(-dtS / tauS)
  if (machine.dieDeg - toDeg < STICKS_AT_DEG) machine.contact = 'standing'
  machine.ramDeg = machine.dieDeg - RAM_GAP_DEG
  stopRam(machine)
}

function pressAgain(machine: Machine): void {
  machine.contact = 'loaded'
  machine.ramDeg = machine.dieDeg
}
