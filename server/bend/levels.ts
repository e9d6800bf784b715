import type { Evidence } from './level-shares.ts'
import {
  addPart,
  clearSystem,
  copySystem,
  type LevelPart,
  type LevelSystem,
  logIntegral,
  NODES_MAX,
  newLevelSystem,
  type Pair,
  solveLastTwo,
  swapNodes,
} from './level-solver.ts'

/** What one set-up says of its lot and seat. `seat` null: past the limit, its intercept is its own. */
export interface SetupShare {
  readonly seat: number | null
  readonly evidence: Evidence
}

/** A lot: its material's node, and what each of its set-ups says. */
export interface LotNode {
  readonly material: number | null
  readonly materialVariance: number
  readonly shares: Map<string, SetupShare>
}

/** Spreads that stay as they are. Intercepts in degrees. */
export interface LevelSpreads {
  readonly shopInterceptVariance: number
  readonly dieInterceptVariance: number
}

/** Where a question is asked: any of them may not have been bent yet. */
export interface LevelPlace {
  readonly lot: LotNode | null
  readonly material: number | null
  /** Of a material without a node. */
  readonly materialVariance: number
  /** The material on its die; and where that was never bent, the die. */
  readonly seat: number | null
  readonly die: number | null
  /** Of a seat without a node. */
  readonly seatVariance: number
  /** The set-up whose own bends are to be left out. */
  readonly without: string
  /** True: all that the lot itself was bent is left out, as if it came in new. */
  readonly isNewLot?: boolean
}

interface LotEntry {
  readonly node: LotNode
  /** What the lot has added to the equations. */
  part: LevelPart | null
}

/** Filled bend by bend; see `newLevels`. */
export interface Levels {
  readonly spreads: LevelSpreads
  /** Variance of ρ between lots of a material that is believed now. */
  lotVariance: number
  readonly system: LevelSystem
  readonly scratch: LevelSystem
  readonly priors: LevelPart[]
  readonly lots: LotEntry[]
  readonly entryOf: Map<LotNode, LotEntry>
}

const SHOP = 0

/** The lot's own ratio taken out: what remains binds its material and its seats. */
function partOf({ material, materialVariance, shares }: LotNode, lotVariance: number) {
  const at: number[] = material === null ? [] : [material]
  for (const { seat } of shares.values()) if (seat !== null && !at.includes(seat)) at.push(seat)
  const count = at.length
  const precision = new Array<number>(count * count).fill(0)
  const right = new Array<number>(count).fill(0)
  const bound = new Array<number>(count).fill(0)
  const within = 1 / (lotVariance + (material === null ? materialVariance : 0))
  let lotPrecision = within
  let lotRight = 0
  if (material !== null) {
    precision[0] = within
    bound[0] = -within
  }
  for (const { seat, evidence } of shares.values()) {
    lotPrecision += evidence.ratioPrecision
    lotRight += evidence.ratioRight
    if (seat === null) continue
    const k = at.indexOf(seat)
    precision[k * count + k] = (precision[k * count + k] as number) + evidence.interceptPrecision
    right[k] = (right[k] as number) + evidence.interceptRight
    bound[k] = (bound[k] as number) + evidence.crossPrecision
  }
  for (let i = 0; i < count; i++) {
    const pull = (bound[i] as number) / lotPrecision
    right[i] = (right[i] as number) - pull * lotRight
    for (let j = 0; j < count; j++)
      precision[i * count + j] = (precision[i * count + j] as number) - pull * (bound[j] as number)
  }
  const logLot = (Math.log(within / lotPrecision) + (lotRight * lotRight) / lotPrecision) / 2
  return { part: { at, precision, right }, logLot }
}

const single = (at: number, precision: number): LevelPart => ({
  at: [at],
  precision: [precision],
  right: [0],
})

const tie = (a: number, b: number, variance: number): LevelPart => ({
  at: [a, b],
  precision: [1 / variance, -1 / variance, -1 / variance, 1 / variance],
  right: [0, 0],
})

/**
 * Material → lot → set-up on the ratio of observed to predicted slope, and shop → die → seat (the die
 * with a material) → set-up on the intercept, crossed: a lot is bent on many dies, a die bends many.
 *
 *     ρ_lot = ρ_material + N(0, lot variance),   α_seat = α_die + N(0, seat variance),  and so on
 *
 * With the variances given this is one Gaussian, and it is solved exactly: set-ups and lots are taken
 * out one at a time (each a closed form of one or two unknowns), and what is left are the materials,
 * the dies, the seats and the shop, a dozen or two equations for a small shop. A bend changes its own lot's part only.
 *
 * Source: mixed-model equations, C. R. Henderson, Biometrics 31 (1975) 423; Gelman et al., Bayesian
 * Data Analysis, ch. 5 and 15 (levels with fixed spreads). Both from memory.
 */
export function newLevels(spreads: LevelSpreads, lotVariance: number): Levels {
  const [system, scratch] = [newLevelSystem(), newLevelSystem()]
  const levels = { spreads, lotVariance, system, scratch, priors: [], lots: [], entryOf: new Map() }
  newNode(levels, (node) => single(node, 1 / spreads.shopInterceptVariance))
  return levels
}

function newNode({ system, priors }: Levels, prior: (node: number) => LevelPart): number | null {
  if (system.size >= NODES_MAX) return null
  const node = system.size++
  const part = prior(node)
  priors.push(part)
  addPart(system, part)
  return node
}

/** Null where the limit is reached; its lots then start from the mechanics alone. */
export const newMaterial = (levels: Levels, variance: number): number | null =>
  newNode(levels, (node) => single(node, 1 / variance))

/** Null where the limit is reached; its intercept is then shared with nothing. */
export const newDie = (levels: Levels): number | null =>
  newNode(levels, (node) => tie(SHOP, node, levels.spreads.dieInterceptVariance))

/**
 * A material on a die: the straight leg and the frame give way with the moment, so with the material.
 *
 * @param variance Of its intercept about the die's, degrees².
 */
export const newSeat = (levels: Levels, die: number | null, variance: number): number | null =>
  newNode(levels, (node) => seatTie(levels, die, node, variance))

const seatTie = (
  { spreads }: Levels,
  die: number | null,
  seat: number,
  variance: number,
): LevelPart =>
  die === null ? tie(SHOP, seat, spreads.dieInterceptVariance + variance) : tie(die, seat, variance)

export function newLot(levels: Levels, material: number | null, materialVariance: number): LotNode {
  const node: LotNode = { material, materialVariance, shares: new Map() }
  const entry = { node, part: null }
  levels.lots.push(entry)
  levels.entryOf.set(node, entry)
  return node
}

/** What a set-up's bends say, in the place of what they said before. */
export function putShare(levels: Levels, lot: LotNode, setup: string, share: SetupShare): void {
  const entry = levels.entryOf.get(lot)
  if (!entry) throw new Error('This lot belongs to other levels.')
  if (entry.part) addPart(levels.system, entry.part, -1)
  lot.shares.set(setup, share)
  entry.part = partOf(lot, levels.lotVariance).part
  addPart(levels.system, entry.part)
}

/** α of the seat and ρ of the lot, from all that others have bent. */
export function askLevels(levels: Levels, place: LevelPlace): Pair {
  const { system, scratch, lotVariance } = levels
  const { lot, material, materialVariance, seat, seatVariance, die } = place
  const { without, isNewLot = false } = place
  copySystem(system, scratch)
  const part = lot && levels.entryOf.get(lot)?.part
  if (part) addPart(scratch, part, -1)
  // The last two unknowns become the seat and the lot that are asked for.
  const asked = seat ?? scratch.size++
  if (seat === null) addPart(scratch, seatTie(levels, die, asked, seatVariance))
  const ratio = scratch.size++
  if (material === null) addPart(scratch, single(ratio, 1 / (lotVariance + materialVariance)))
  else addPart(scratch, tie(material, ratio, lotVariance))
  for (const [setup, share] of lot?.shares ?? [])
    if (!isNewLot && setup !== without) addPart(scratch, sharePart(share, ratio))
  swapNodes(scratch, asked, scratch.size - 2)
  return solveLastTwo(scratch)
}

/** Log likelihood of all bends, but for a constant, if lots varied so much. */
export function logLikelihoodOf(levels: Levels, lotVariance: number): number {
  const { system, scratch } = levels
  clearSystem(scratch, system.size)
  for (const prior of levels.priors) addPart(scratch, prior)
  let sum = 0
  for (const { node } of levels.lots) {
    const { part, logLot } = partOf(node, lotVariance)
    addPart(scratch, part)
    sum += logLot
  }
  return sum + logIntegral(scratch)
}

/** Everything is put together anew. */
export function setLotVariance(levels: Levels, lotVariance: number): void {
  levels.lotVariance = lotVariance
  clearSystem(levels.system, levels.system.size)
  for (const prior of levels.priors) addPart(levels.system, prior)
  for (const entry of levels.lots) {
    entry.part = partOf(entry.node, lotVariance).part
    addPart(levels.system, entry.part)
  }
}

/** A set-up's evidence on its seat and lot; on the lot alone where its intercept is its own. */
function sharePart({ seat, evidence }: SetupShare, ratio: number): LevelPart {
  const { interceptPrecision, crossPrecision, ratioPrecision } = evidence
  if (seat === null)
    return { at: [ratio], precision: [ratioPrecision], right: [evidence.ratioRight] }
  return {
    at: [seat, ratio],
    precision: [interceptPrecision, crossPrecision, crossPrecision, ratioPrecision],
    right: [evidence.interceptRight, evidence.ratioRight],
  }
}
