import { MATERIALS, type Material } from '../../server/bend/materials.ts'
import type { SetupPlace } from '../../server/bend/setup-place.ts'

/**
 * Virtual shops whose tubes follow no model of ours: Swift's hardening law from constants off the
 * table's, an unloading modulus and a section factor of their own, a straight leg and a frame that
 * give way with the moment, and yield that differs from lot to lot and from tube to tube. Two per cent
 * of the bends are disturbed, and some lots change without anybody saying so. All from one seed a
 * shop, drawn before any rule is tried: every rule meets the same tubes and the same hands.
 */
export interface PlannedBend {
  readonly place: SetupPlace
  /** From 0, in the announced lot. */
  readonly inLot: number
  readonly wantedDeg: number
  /** What truly comes back of this tube. */
  springsDeg(loadedDeg: number): number
  /** What would come back of the lot's average tube, undisturbed. */
  lotSpringsDeg(loadedDeg: number): number
  readonly disturbed: boolean
  /** Whether one of the lot before was. */
  readonly disturbedBefore: boolean
  /** Of each go: how far past the mark the hand stops, and the readout's error, degrees. */
  readonly stopDeg: readonly number[]
  readonly readoutDeg: readonly number[]
}

export const GOES_MAX = 3
const LOTS = 8
export const LOT_BENDS = 15
const WANTED_DEG = [30, 45, 60, 90, 120]
const READOUT_SD_DEG = 0.05
const DISTURBED = 0.02
const SECRET_CHANGE = 0.08
const DIES = [
  { odMm: 25.4, wallMm: 1.65, clrMm: 76.2 },
  { odMm: 38.1, wallMm: 1.65, clrMm: 114.3 },
  { odMm: 44.45, wallMm: 2.41, clrMm: 152.4 },
]

interface Dice {
  uniform(from?: number, to?: number): number
  normal(sd: number): number
}

/** mulberry32, a public-domain generator. */
function diceFrom(seed: number): Dice {
  let state = seed
  const next = () => {
    state = (state + 0x6d2b79f5) | 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296
  }
  return {
    uniform: (from = 0, to = 1) => from + (to - from) * next(),
    normal: (sd) => sd * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  }
}

/** Swift: σ = K·(e0 + εp)ⁿ beyond yield, and what this shop's mill and bender make of it. */
interface TrueMetal {
  readonly modulusMpa: number
  readonly unloading: number
  readonly strengthMpa: number
  readonly offset: number
  readonly exponent: number
}

function drawMetal({ law, unloadingFactor }: Material, dice: Dice): TrueMetal {
  const unloading = unloadingFactor * (1 + dice.normal(0.04))
  const mill = Math.exp(dice.normal(0.09))
  if (law.kind === 'power') {
    const exponent = law.exponent * (1 + dice.normal(0.06))
    const strengthMpa = law.strengthMpa * mill
    const offset = (law.yieldMpa / law.strengthMpa) ** (1 / law.exponent)
    return { modulusMpa: law.modulusMpa, unloading, strengthMpa, offset, exponent }
  }
  const [offset, exponent] = [0.005, dice.uniform(0.04, 0.12)]
  const strengthMpa = (law.yieldMpa * mill) / offset ** exponent
  return { modulusMpa: law.modulusMpa, unloading, strengthMpa, offset, exponent }
}

/** b = M·R/(Eᵤ·I) by 120 strips; stress by three Newton steps from the plastic strain. */
function slopeOf(metal: TrueMetal, { odMm, wallMm, clrMm }: (typeof DIES)[number]): number {
  const [outer, inner] = [odMm / 2, odMm / 2 - wallMm]
  const chord = (r: number, y: number) => (y < r ? 2 * Math.sqrt(r * r - y * y) : 0)
  let moment = 0
  for (let k = 0; k < 120; k++) {
    const y = ((k + 0.5) * outer) / 120
    const strain = y / clrMm
    let stress = metal.strengthMpa * (metal.offset + strain) ** metal.exponent
    for (let step = 0; step < 3; step++) {
      const plastic = Math.max(0, strain - stress / metal.modulusMpa)
      stress = metal.strengthMpa * (metal.offset + plastic) ** metal.exponent
    }
    stress = Math.min(stress, metal.modulusMpa * strain)
    moment += 2 * stress * y * (chord(outer, y) - chord(inner, y)) * (outer / 120)
  }
  const secondMm4 = (Math.PI / 4) * (outer ** 4 - inner ** 4)
  return (moment * clrMm) / (metal.unloading * metal.modulusMpa * secondMm4)
}

/** A die on its bender: straight leg as a share of the radius, frame and zero in degrees, and how soon they have grown. */
const drawDie = (dice: Dice, k: number) => ({
  name: `die ${k}`,
  tube: DIES[k] as (typeof DIES)[number],
  legShare: dice.uniform(0.15, 0.45),
  frameDeg: dice.uniform(0.05, 0.4),
  zeroDeg: dice.normal(0.1),
  growsDeg: dice.uniform(4, 10),
  sectionFactor: Math.exp(dice.normal(0.04)),
})

/** One shop's whole history, 8 lots of 15 bends of two materials on three dies. */
export function planShop(seed: number): readonly PlannedBend[] {
  const dice = diceFrom(seed)
  const pick = <T>(list: readonly T[]) => list[Math.floor(dice.uniform() * list.length)] as T
  const grades = [pick(MATERIALS), pick(MATERIALS)].map((material) => ({
    material,
    metal: drawMetal(material, dice),
  }))
  const dies = DIES.map((_, k) => drawDie(dice, k))
  const noiseDeg = dice.uniform(0.06, 0.18)
  const stopSdDeg = dice.uniform(0.06, 0.15)
  const plan: PlannedBend[] = []
  for (let lot = 0; lot < LOTS; lot++) {
    const { material, metal } = pick(grades)
    const die = pick(dies)
    const slope = slopeOf(metal, die.tube) * die.sectionFactor
    const place = { material, lot: `lot ${lot}`, die: die.name, station: 'bender', tube: die.tube }
    const changesAt = dice.uniform() < SECRET_CHANGE ? 5 + Math.floor(dice.uniform() * 6) : Infinity
    let b = slope * Math.exp(dice.normal(0.06))
    let disturbedBefore = false
    for (let inLot = 0; inLot < LOT_BENDS; inLot++) {
      if (inLot === changesAt) b = slope * Math.exp(dice.normal(0.06))
      const leg = 57.3 * b * die.legShare + die.frameDeg * (b / 0.03) + die.zeroDeg
      const lotSlope = b
      const lotSpringsDeg = (loadedDeg: number) =>
        lotSlope * loadedDeg + leg * (1 - Math.exp(-loadedDeg / die.growsDeg))
      const tubeFactor = Math.exp(dice.normal(0.012))
      const disturbed = dice.uniform() < DISTURBED
      const bumpDeg = (dice.uniform() < 0.5 ? -1 : 1) * dice.uniform(1, 4)
      const ownDeg = dice.normal(noiseDeg) + (disturbed ? bumpDeg : 0)
      plan.push({
        place,
        inLot,
        wantedDeg: pick(WANTED_DEG),
        lotSpringsDeg,
        springsDeg: (loadedDeg) => Math.max(0.05, lotSpringsDeg(loadedDeg) * tubeFactor + ownDeg),
        disturbed,
        disturbedBefore,
        stopDeg: Array.from({ length: GOES_MAX }, () => dice.normal(stopSdDeg)),
        readoutDeg: Array.from({ length: GOES_MAX }, () => dice.normal(READOUT_SD_DEG)),
      })
      disturbedBefore ||= disturbed
    }
  }
  return plan
}
