import { type BendSeries, newSeries, type SetApart } from './bend-series.ts'
import { interceptPrior } from './leg-prior.ts'
import type { Departure, Foretold } from './level-shares.ts'
import {
  askLevels,
  type LevelPlace,
  type Levels,
  type LotNode,
  newDie,
  newLevels,
  newLot,
  newMaterial,
  newSeat,
  setLotVariance,
} from './levels.ts'
import { estimateLotVariance, LOT_VARIANCE, nextReview } from './lot-spread.ts'
import type { NormalInverseGamma } from './normal-inverse-gamma.ts'
import { springbackSlope } from './section.ts'
import { keysOf, type SetupPlace } from './setup-place.ts'
import { type NoiseSeen, noisePrior, priorOf } from './setup-prior.ts'
import { departureOf, LEVEL_SPREADS, materialVarianceOf } from './shop-spreads.ts'

/** The springback of a set-up has moved. */
export interface DriftAlarm {
  /** The bend at which it showed, and the first of the bends that differ; ids. */
  readonly atBend: number
  readonly sinceBend: number
  readonly way: 'more' | 'less'
  /** For people, with the question that only they can answer. */
  readonly sentence: string
}

interface MaterialMemory {
  readonly node: number | null
  bends: number
}

interface LotMemory {
  readonly node: LotNode
  readonly material: MaterialMemory
  bends: number
}

export interface SetupMemory extends Foretold {
  readonly lot: LotMemory
  /** The die with the material; null past the limit. */
  readonly seat: number | null
  readonly die: number | null
  /** Of its intercept, how far the legs may be off. Degrees². */
  readonly legVariance: number
  readonly name: string
  /** Of its present series among the lot's shares. */
  key: string
  breaks: number
  /** Its records in all, those that a person took out too, and the first and last of them. */
  records: number
  firstBend: number
  lastBend: number
  /** Set apart in series before the present one. */
  apartBefore: number
  series: BendSeries
  departure: Departure
  drift: DriftAlarm | null
  /** What others say, and after how many of their bends. */
  prior: {
    readonly belief: NormalInverseGamma
    readonly others: number
    readonly era: number
  } | null
}

/** What people have decided of single records, by id. */
export interface Decisions {
  readonly putBack?: ReadonlySet<number>
  readonly takenOut?: ReadonlySet<number>
}

/** Filled bend by bend; `teach` and `know` are how to use it. */
export interface ShopMemory {
  readonly decisions: Decisions
  readonly levels: Levels
  readonly materials: Map<string, MaterialMemory>
  readonly dies: Map<string, number | null>
  readonly seats: Map<string, number | null>
  readonly lots: Map<string, LotMemory>
  readonly setups: Map<string, SetupMemory>
  /** Bends that are set apart now, by id. */
  readonly apart: Map<number, SetApart>
  errors: NoiseSeen
  /** Bends in all. */
  taught: number
  /** Counts the times that everything was put together anew. */
  era: number
  /** At how many lots the spread between them is to be estimated next. */
  reviewAt: number
}

/**
 * An empty memory. A decision that changes means a new memory, taught the whole history again.
 */
export const newShopMemory = (decisions: Decisions = {}): ShopMemory => ({
  decisions,
  levels: newLevels(LEVEL_SPREADS, LOT_VARIANCE),
  materials: new Map(),
  dies: new Map(),
  seats: new Map(),
  lots: new Map(),
  setups: new Map(),
  apart: new Map(),
  errors: { sum: 0, count: 0 },
  taught: 0,
  era: 0,
  reviewAt: nextReview(0),
})

function remembered<T>(map: Map<string, T>, key: string, make: () => T): T {
  const known = map.get(key)
  if (known !== undefined) return known
  const made = make()
  map.set(key, made)
  return made
}

function lotAt(memory: ShopMemory, place: SetupPlace): LotMemory {
  const keys = keysOf(place)
  return remembered(memory.lots, keys.lot, () => {
    reviewSpread(memory)
    const variance = materialVarianceOf(place.material)
    const material = remembered(memory.materials, keys.material, () => ({
      node: newMaterial(memory.levels, variance),
      bends: 0,
    }))
    return { node: newLot(memory.levels, material.node, variance), material, bends: 0 }
  })
}

/** Before a new lot is first bent: now the spread matters. */
function reviewSpread(memory: ShopMemory): void {
  if (memory.lots.size < memory.reviewAt) return
  memory.reviewAt = nextReview(memory.lots.size)
  setLotVariance(memory.levels, estimateLotVariance(memory.levels))
  memory.era++
}

/** What the mechanics of section and legs says of a place. @throws DomainError of tube or material. */
export function foretoldAt({ tube, material }: SetupPlace) {
  const slope = springbackSlope(tube, material.law, material.unloadingFactor)
  const { perSlopeDeg, legVariance } = interceptPrior(slope, tube.clrMm)
  return { slope, legDeg: perSlopeDeg * slope, legVariance }
}

/** The set-up's memory, made where there is none yet. @throws DomainError of tube or material. */
export function setupAt(memory: ShopMemory, place: SetupPlace): SetupMemory {
  const { setup: name, ...keys } = keysOf(place)
  return remembered(memory.setups, name, () => {
    const foretold = foretoldAt(place)
    const { legVariance } = foretold
    const lot = lotAt(memory, place)
    const die = remembered(memory.dies, keys.die, () => newDie(memory.levels))
    const seat = remembered(memory.seats, keys.seat, () => newSeat(memory.levels, die, legVariance))
    const departure = departureOf(foretold, seat === null)
    return {
      lot,
      seat,
      die,
      ...foretold,
      name,
      key: name,
      breaks: 0,
      records: 0,
      firstBend: 0,
      lastBend: 0,
      apartBefore: 0,
      series: newSeries(),
      departure,
      drift: null,
      prior: null,
    }
  })
}

const less = (all: NoiseSeen, own: NoiseSeen): NoiseSeen => ({
  sum: all.sum - own.sum,
  count: all.count - own.count,
})

/** What the others' bends say of this set-up; its own are not in it. */
export function priorOfSetup(memory: ShopMemory, setup: SetupMemory): NormalInverseGamma {
  const { lot, seat, die, key, series, departure, legVariance, prior } = setup
  const others = memory.taught - series.bends
  if (prior && prior.others === others && prior.era === memory.era) return prior.belief
  const { material, materialVariance } = lot.node
  const place: LevelPlace = {
    lot: lot.node,
    material,
    materialVariance,
    seat,
    seatVariance: legVariance,
    die,
    without: key,
  }
  const noise = noisePrior(less(memory.errors, series.errors))
  const belief = priorOf(askLevels(memory.levels, place), departure, setup, noise)
  setup.prior = { belief, others, era: memory.era }
  return belief
}

/** Where a place stands among the levels, its own bends left out; it need not have been bent. */
export function levelPlaceOf(memory: ShopMemory, place: SetupPlace): LevelPlace {
  const keys = keysOf(place)
  return {
    lot: memory.lots.get(keys.lot)?.node ?? null,
    material: memory.materials.get(keys.material)?.node ?? null,
    materialVariance: materialVarianceOf(place.material),
    seat: memory.seats.get(keys.seat) ?? null,
    seatVariance: foretoldAt(place).legVariance,
    die: memory.dies.get(keys.die) ?? null,
    without: memory.setups.get(keys.setup)?.key ?? keys.setup,
  }
}

/** What the scatter of all other set-ups says of this one's noise. */
export function noiseAt(memory: ShopMemory, place: SetupPlace): ReturnType<typeof noisePrior> {
  const own = memory.setups.get(keysOf(place).setup)?.series.errors
  return noisePrior(own ? less(memory.errors, own) : memory.errors)
}

/** The same for a place that was never bent; nothing is remembered of the question. */
export function priorOfNew(memory: ShopMemory, place: SetupPlace): NormalInverseGamma {
  const foretold = foretoldAt(place)
  const pair = askLevels(memory.levels, levelPlaceOf(memory, place))
  return priorOf(pair, departureOf(foretold, false), foretold, noiseAt(memory, place))
}
