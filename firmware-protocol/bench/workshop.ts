import { ARM, type Arm, type ArmSpec, bears, isBusy, makeArm, stepArm, takesBite } from './arm.ts'
import { type Eyes, look, makeEyes, show } from './eyes.ts'
import {
  FRAME,
  isStraight,
  type Machine,
  makeMachine,
  seat,
  stepMachine,
  takeOut,
  type Valve,
} from './machine.ts'
import type { Motion, PedalEdge } from './motion.ts'
import {
  bendOn,
  clearAway,
  type Deed,
  isCarrying,
  makeOperator,
  type Operator,
  takeOver,
  work,
} from './operator.ts'
import { makePerson, type Person, press, workByHand } from './person.ts'
import { pressureBar } from './pressure.ts'
import type { Prompt } from './prompt.ts'
import { makeRandom, type Random } from './random.ts'
import { cutPiece, DEMO_LOTS, drawLot, type Lot, RAIL_TUBE } from './tube.ts'

/** What can be asked of the workshop: who works, and how the person's ram button stands. */
export interface BenchOrder {
  readonly mode?: 'self' | 'hand' | undefined
  readonly ram?: Valve['ram'] | undefined
}

export interface BenchView {
  readonly mode: 'self' | 'hand'
  readonly ram: Valve['ram']
  /** Of the tube in the bender, or of the next one when there is none. */
  readonly lot: string
  /** A tube is in and its slack is taken up. */
  readonly ready: boolean
}

/** What really happened at the last letting off, degrees from the datum: for tests to compare. */
export interface BendTruth {
  readonly lot: string
  /** Tubes since the start, from 1. */
  readonly piece: number
  readonly peakDeg: number
  readonly releasedDeg: number
  /** Where the block began to bear: zero for whoever takes it there. */
  readonly bearingDeg: number
}

export interface Workshop extends Motion {
  show(prompt: Prompt): void
  order(order: BenchOrder): void
  /** The next tube is of this lot; any name gives a lot of its own. */
  useLot(name: string): void
  view(): BenchView
  truth(): BendTruth | null
  /** What can be seen of the bender by standing at it. */
  sight(): { readonly contact: Machine['contact']; readonly bentDeg: number }
}

interface Shop {
  readonly seed: number
  readonly pieces: Random
  readonly machine: Machine
  readonly arm: Arm
  readonly operator: Operator
  readonly person: Person
  readonly eyes: Eyes
  readonly edges: PedalEdge[]
  nowS: number
  mode: BenchView['mode']
  lot: Lot
  piece: number
  datumDeg: number
  truth: BendTruth | null
  /** When the foot comes off the pedal again. */
  pedalUpAtS: number | null
}

/** While the arm goes for a new bite, or comes back to the tube, the die is left alone. */
const HANDS_OFF: Deed = { valve: { ram: 'hold', rateDegPerS: 0 }, hands: 'none' }
const PEDAL_PRESS_S = 0.15
/** Pump and frame shake the die a little while the ram moves; too little for the peak to matter. */
const VIBRATION_DEG = 0.015
const VIBRATION_HZ = 11
const LOT_NAME_MAX = 80

/** Bender, tubes, operator and the person at the page. Equal seeds and equal inputs give equal motion. */
export function makeWorkshop(seed: number, armSpec: ArmSpec = ARM): Workshop {
  const shop = openShop(seed, armSpec)
  return {
    advance: (dtS) => advance(shop, dtS),
    angleDeg: () => shop.machine.dieDeg + shaking(shop),
    armDeg: () => shop.arm.armDeg + shaking(shop),
    pressureBar: () => (bears(shop.arm) ? pressureBar(shop.machine) : 0),
    takePedal: () => shop.edges.splice(0),
    show: (prompt) => showTo(shop, prompt),
    order: (order) => obey(shop, order),
    useLot: (name) => {
      shop.lot = fetchLot(seed, name)
    },
    view: () => ({
      mode: shop.mode,
      ram: shop.person.ram,
      lot: shop.machine.tube?.lot ?? shop.lot.name,
      ready: shop.machine.tube !== null && !isCarrying(shop.operator),
    }),
    truth: () => shop.truth,
    sight: () => ({
      contact: shop.machine.contact,
      bentDeg: shop.machine.dieDeg - shop.datumDeg,
    }),
  }
}

function openShop(seed: number, armSpec: ArmSpec): Shop {
  return {
    seed,
    pieces: makeRandom(seed, 'pieces'),
    machine: makeMachine(makeRandom(seed, 'machine')),
    arm: makeArm(armSpec),
    operator: makeOperator(makeRandom(seed, 'operator')),
    person: makePerson(),
    eyes: makeEyes(makeRandom(seed, 'eyes')),
    edges: [],
    nowS: 0,
    mode: 'self',
    lot: fetchLot(seed, DEMO_LOTS[0] ?? 'lot'),
    piece: 0,
    datumDeg: 0,
    truth: null,
    pedalUpAtS: null,
  }
}

function fetchLot(seed: number, name: string): Lot {
  if (!(name.length >= 1 && name.length <= LOT_NAME_MAX))
    throw new RangeError(`A lot's name has 1 to ${LOT_NAME_MAX} characters, got "${name}".`)
  return drawLot(name, makeRandom(seed, `lot ${name}`))
}

function obey(shop: Shop, { mode, ram }: BenchOrder): void {
  if (mode && mode !== shop.mode) {
    shop.mode = mode
    press(shop.person, 'hold')
    takeOver(shop.operator, shop.machine)
  }
  if (ram) press(shop.person, ram)
}

/** By hand nobody presses the bender's pedal: zero is taken where the tube stands when the screen says so. */
function showTo(shop: Shop, prompt: Prompt): void {
  const isAtRest = shop.machine.ramDegPerS === 0
  if (shop.mode === 'hand' && prompt.phase === 'seated' && isAtRest) noteDatum(shop)
  show(shop.eyes, shop.nowS, prompt)
}

function advance(shop: Shop, dtS: number): void {
  const { machine } = shop
  shop.nowS += dtS
  if (takesBite(shop.arm)) bendOn(shop.operator)
  const deed = isBusy(shop.arm) ? HANDS_OFF : nextDeed(shop, dtS)
  if (deed.hands !== 'none') useHands(shop, deed.hands)
  const before = machine.contact
  const presses = deed.valve.ram === 'advance'
  const mustCome = presses && shop.arm.doing === 'away'
  stepMachine(machine, dtS, mustCome ? HANDS_OFF.valve : deed.valve)
  stepArm(shop.arm, machine, dtS, presses)
  if (before === 'letting-off' && machine.contact === 'standing') noteTruth(shop)
  if (shop.pedalUpAtS !== null && shop.nowS >= shop.pedalUpAtS) {
    shop.edges.push('up')
    shop.pedalUpAtS = null
  }
}

/** By hand a helper brings each tube and takes it away; zero, ram and the end of the bend are the person's. */
function nextDeed(shop: Shop, dtS: number): Deed {
  const { machine, operator, person, eyes } = shop
  const prompt = look(eyes, shop.nowS)
  if (shop.mode === 'hand' && machine.contact === 'standing') {
    // The lever springs back by itself; left on, it would let off the next tube too.
    if (person.ram === 'retract') press(person, 'hold')
    if (prompt.phase === 'no-datum' && !isCarrying(operator)) clearAway(operator)
  }
  if (shop.mode === 'hand' && !isCarrying(operator)) return workByHand(person, dtS)
  const deed = work(operator, dtS, { prompt, machine })
  return shop.mode === 'hand' && deed.hands === 'press-pedal' ? { ...deed, hands: 'none' } : deed
}

function useHands(shop: Shop, hands: Deed['hands']): void {
  const { machine } = shop
  if (hands === 'seat') {
    seat(machine, cutPiece(RAIL_TUBE, shop.lot, FRAME, shop.pieces))
    shop.piece++
  }
  if (hands === 'take-out') {
    takeOut(machine)
    press(shop.person, 'hold')
    takeOver(shop.operator, machine)
  }
  if (hands === 'press-pedal' && shop.pedalUpAtS === null) {
    noteDatum(shop)
    shop.edges.push('down')
    shop.pedalUpAtS = shop.nowS + PEDAL_PRESS_S
  }
}

function noteDatum(shop: Shop): void {
  if (isStraight(shop.machine)) shop.datumDeg = shop.machine.dieDeg
}

function noteTruth(shop: Shop): void {
  shop.truth = {
    lot: shop.machine.tube?.lot ?? shop.lot.name,
    piece: shop.piece,
    peakDeg: shop.machine.mostDeg - shop.datumDeg,
    releasedDeg: shop.machine.dieDeg - shop.datumDeg,
    bearingDeg: shop.machine.bearingDeg - shop.datumDeg,
  }
}

const shaking = ({ machine, nowS }: Shop): number =>
  machine.contact === 'loaded' && machine.ramDegPerS > 0
    ? VIBRATION_DEG * Math.sin(2 * Math.PI * VIBRATION_HZ * nowS)
    : 0
