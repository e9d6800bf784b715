import {
  isStraight,
  type Machine,
  RAM_EASY_DEG_PER_S,
  RAM_FAST_DEG_PER_S,
  RAM_SEATING_DEG_PER_S,
  type Valve,
} from './machine.ts'
import type { Prompt } from './prompt.ts'
import type { Random } from './random.ts'

type Stance =
  | 'fetching'
  | 'taking-up-slack'
  | 'steadying'
  | 'expecting-zero'
  | 'bending'
  | 'holding'
  | 'letting-off'
  | 'watching'
  | 'deciding'
  | 'starting-again'
  | 'leaving'
  | 'carrying'

/** A virtual operator: knows the bender by feel, and the angle only from the prompt. */
export interface Operator {
  readonly random: Random
  stance: Stance
  /** Seconds in this stance. */
  inStanceS: number
  /** How long this stance takes, drawn when it began. */
  takesS: number
  goes: number
  /** This operator's own pace against the common one. */
  readonly pace: number
}

/** What the operator does in this moment. */
export interface Deed {
  readonly valve: Valve
  readonly hands: 'none' | 'seat' | 'take-out' | 'press-pedal'
}

interface Scene {
  readonly prompt: Prompt
  readonly machine: Machine
}

/** Seconds that each stance takes at least; those left out end when something happens. Our own judgement. */
const TAKES_S: Partial<Record<Stance, { low: number; high: number }>> = {
  fetching: { low: 0.8, high: 2 },
  steadying: { low: 0.5, high: 0.8 },
  holding: { low: 0.4, high: 0.9 },
  watching: { low: 1, high: 1.4 },
  deciding: { low: 0.7, high: 1.5 },
  'starting-again': { low: 0.4, high: 0.7 },
  leaving: { low: 0.5, high: 1 },
}
/** Nobody waits longer for the screen than this before helping themselves. */
const PATIENCE_S = 3
const WATCHES_S = 6
/** After this many goes at one bend the operator lets it be. */
const GOES_MAX = 5

const VALVE_SHUT: Valve = { ram: 'hold', rateDegPerS: 0 }
const RETRACT: Valve = { ram: 'retract', rateDegPerS: 0 }
const WAIT: Deed = { valve: VALVE_SHUT, hands: 'none' }

export const makeOperator = (random: Random): Operator => ({
  random,
  stance: 'fetching',
  inStanceS: 0,
  takesS: 0.5,
  goes: 0,
  pace: random.between(0.85, 1.1),
})

/** One moment of work. Changes the operator; the caller moves the machine. */
export function work(operator: Operator, dtS: number, scene: Scene): Deed {
  operator.inStanceS += dtS
  return STANCES[operator.stance](operator, scene)
}

/** Goes on from wherever somebody else left the machine. */
export function takeOver(operator: Operator, machine: Machine): void {
  const stance: Record<Machine['contact'], Stance> = {
    free: 'carrying',
    slack: 'taking-up-slack',
    loaded: isStraight(machine) ? 'steadying' : 'bending',
    'letting-off': 'letting-off',
    standing: 'watching',
  }
  begin(operator, stance[machine.contact])
}

/** Puts the tube in or takes it out: work that a helper does for a person at the ram. */
export const isCarrying = ({ stance }: Operator): boolean => CARRYING.has(stance)

const CARRYING: ReadonlySet<Stance> = new Set([
  'fetching',
  'taking-up-slack',
  'steadying',
  'leaving',
  'carrying',
])

/** The bend is over: the tube is taken out and the next one fetched. */
export const clearAway = (operator: Operator): void => begin(operator, 'leaving')

/** The ram stood for a reason that the operator knows: what was being done is done on. */
export function bendOn(operator: Operator): void {
  operator.inStanceS = 0
}

function begin(operator: Operator, stance: Stance): void {
  const takes = TAKES_S[stance]
  operator.stance = stance
  operator.inStanceS = 0
  operator.takesS = takes ? operator.random.between(takes.low, takes.high) : 0
}

const isDone = ({ inStanceS, takesS }: Operator): boolean => inStanceS >= takesS

const advance = (rateDegPerS: number): Deed => ({
  valve: { ram: 'advance', rateDegPerS },
  hands: 'none',
})

const callsStop = ({ cue }: Prompt): boolean => cue === 'stop' || cue === 'over'

/** The next move of each stance; `begin` says where it leads. */
const STANCES: Record<Stance, (operator: Operator, scene: Scene) => Deed> = {
  fetching(operator, { prompt, machine }) {
    if (!(isDone(operator) && prompt.hasJob) || machine.hand) return WAIT
    begin(operator, 'taking-up-slack')
    operator.goes = 1
    return { valve: VALVE_SHUT, hands: 'seat' }
  },
  'taking-up-slack'(operator, { machine }) {
    if (machine.contact !== 'loaded') return advance(RAM_SEATING_DEG_PER_S)
    begin(operator, 'steadying')
    return WAIT
  },
  steadying(operator) {
    if (!isDone(operator)) return WAIT
    begin(operator, 'expecting-zero')
    return { valve: VALVE_SHUT, hands: 'press-pedal' }
  },
  'expecting-zero'(operator, { prompt }) {
    if (prompt.phase !== 'no-datum' && !callsStop(prompt)) begin(operator, 'bending')
    else if (operator.inStanceS > PATIENCE_S) begin(operator, 'steadying')
    return WAIT
  },
  bending(operator, { prompt, machine }) {
    const lostZero = prompt.phase === 'no-datum'
    const atEnd = machine.ramDegPerS === 0 && operator.inStanceS > PATIENCE_S
    if (callsStop(prompt) || lostZero || atEnd) {
      begin(operator, 'holding')
      return WAIT
    }
    const easy = prompt.cue === 'ease' || operator.goes > 1
    return advance((easy ? RAM_EASY_DEG_PER_S : RAM_FAST_DEG_PER_S) * operator.pace)
  },
  holding(operator) {
    if (isDone(operator)) begin(operator, 'letting-off')
    return WAIT
  },
  'letting-off'(operator, { machine }) {
    if (machine.contact === 'standing') begin(operator, 'watching')
    return { valve: RETRACT, hands: 'none' }
  },
  watching(operator, { prompt }) {
    const judged = prompt.phase === 'settled' && prompt.verdict !== null
    if ((judged && isDone(operator)) || operator.inStanceS > WATCHES_S) begin(operator, 'deciding')
    return WAIT
  },
  deciding(operator, { prompt }) {
    if (!isDone(operator)) return WAIT
    const again = prompt.verdict === 'under' && prompt.againDeg !== null && operator.goes < GOES_MAX
    begin(operator, again ? 'starting-again' : 'leaving')
    // Where nothing has settled the pedal would mean something else.
    return { valve: VALVE_SHUT, hands: prompt.phase === 'settled' ? 'press-pedal' : 'none' }
  },
  'starting-again'(operator, { prompt }) {
    if (isDone(operator) && !callsStop(prompt)) {
      begin(operator, 'bending')
      operator.goes++
    } else if (operator.inStanceS > PATIENCE_S) begin(operator, 'leaving')
    return WAIT
  },
  leaving(operator) {
    if (!isDone(operator)) return WAIT
    begin(operator, 'carrying')
    return { valve: VALVE_SHUT, hands: 'take-out' }
  },
  carrying(operator, { machine }) {
    if (!machine.hand) begin(operator, 'fetching')
    return WAIT
  },
}
