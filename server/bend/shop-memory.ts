import {
  apartOf,
  append,
  type BendSeries,
  countedOf,
  countOf,
  newSeries,
  splitOff,
  together,
  weigh,
} from './bend-series.ts'
import { driftOf, normalScore, passCusum, stepCusum } from './drift-watch.ts'
import { evidenceOf, widened } from './level-shares.ts'
import { putShare } from './levels.ts'
import { type NormalInverseGamma, predictAt } from './normal-inverse-gamma.ts'
import { heldFrom, keysOf, type SetupPlace, type ShopBend } from './setup-place.ts'
import {
  type DriftAlarm,
  priorOfNew,
  priorOfSetup,
  type SetupMemory,
  type ShopMemory,
  setupAt,
} from './shop-nodes.ts'
import { departureAfterDrift, departureOf } from './shop-spreads.ts'
import type { SpringbackModel } from './springback.ts'

/** What one bend did. */
export interface Lesson {
  /** How far the prediction made before was off, as a standard normal value. */
  readonly score: number
  readonly drift: DriftAlarm | null
}

/** What is known of a set-up before its next bend. */
export interface SetupKnowledge {
  readonly model: SpringbackModel
  /** Bends of this very set-up on record, whether they count or not. */
  readonly bendsMade: number
  /** Bends of the whole lot and of the material so far; of this set-up those that count. */
  readonly lotBends: number
  readonly materialBends: number
  /** Until the bends since then can stand on their own. */
  readonly drift: DriftAlarm | null
}

/** Scores beyond this count as this: one bumped bend is no drift. */
const SCORE_MAX = 3
/** One-step errors tell of the noise once the line itself is known. */
const NOISE_FROM = 3
/** Bends after a drift with which the question is no longer put. */
const OWN_FEET = 10
/** One bend is never a change. */
const CHANGED_MIN = 2
/** New series of one set-up; past it drift is still told. */
const BREAKS_MAX = 200

/** The set-up's evidence on its lot and die, in the place of what it was. */
function share(memory: ShopMemory, setup: SetupMemory, noiseVariance: number): void {
  const { lot, seat, key, series, departure } = setup
  const evidence = evidenceOf(countedOf(series), setup, noiseVariance)
  putShare(memory.levels, lot.node, key, { seat, evidence: widened(evidence, departure) })
}

function countError(memory: ShopMemory, series: BendSeries, square: number): void {
  const add = ({ sum, count }: { sum: number; count: number }) => ({
    sum: sum + square,
    count: count + 1,
  })
  series.errors = add(series.errors)
  memory.errors = add(memory.errors)
}

function weighAnew(memory: ShopMemory, setup: SetupMemory, prior: NormalInverseGamma): number {
  const { series } = setup
  const variance = prior.rate / (prior.shape - 1)
  for (const { id } of series.recent) memory.apart.delete(id)
  weigh(series, prior, Math.sqrt(variance))
  for (const [id, one] of series.apart) memory.apart.set(id, one)
  return variance
}

/**
 * One more bend, in the order of the history: 15 to 30 µs. Nothing else feeds the memory, so the same
 * bends in the same order, with the same decisions, give the same digits.
 *
 * @throws DomainError `LOADED_ANGLE`, `SPRINGBACK`, `STANDARD_UNCERTAINTY`, or of the tube; then
 *   nothing has changed.
 */
export function teach(memory: ShopMemory, bend: ShopBend): Lesson {
  const { putBack, takenOut } = memory.decisions
  const held = heldFrom(bend, putBack?.has(bend.id) ?? false)
  const setup = setupAt(memory, bend.place)
  const { series, lot } = setup
  const prior = priorOfSetup(memory, setup)
  const belief = together(prior, countedOf(series))
  const { mean, scale, degreesOfFreedom } = predictAt(belief, held.row)
  const scales = (held.y - mean) / scale
  const score = normalScore(scales, degreesOfFreedom)
  if (setup.records === 0) setup.firstBend = bend.id
  setup.records++
  setup.lastBend = bend.id
  if (takenOut?.has(bend.id)) return { score, drift: null }
  const first = series.bends === 0
  append(series, held)
  memory.taught++
  lot.bends++
  lot.material.bends++
  const variance = weighAnew(memory, setup, prior)
  if (series.bends > NOISE_FROM && !series.apart.has(bend.id))
    countError(memory, series, (scales * scales * belief.rate) / belief.shape)
  // A first bend tests the prior, not whether anything has moved since.
  if (!first) watch(series, bend.id, clipped(score))
  share(memory, setup, variance)
  const drift = breakAt(memory, setup, bend)
  return { score, drift }
}

/**
 * One bend that does not fit is no drift, and waits for the next: two in a row, off the same way, count
 * both. Without this a bumped bend on top of a few that lean its way would start a series of its own.
 */
function watch(series: BendSeries, id: number, score: number): void {
  const off = series.apart.get(id)?.offDeg
  if (off === undefined) {
    series.cusum = stepCusum(series.cusum, score)
    return
  }
  const before = series.apart.get(series.recent.at(-2)?.id ?? id)?.offDeg ?? 0
  const isBorneOut = series.recent.length >= 2 && off * before > 0
  series.cusum = isBorneOut
    ? stepCusum(stepCusum(series.cusum, score), score)
    : passCusum(series.cusum)
}

const clipped = (score: number) => Math.max(-SCORE_MAX, Math.min(SCORE_MAX, score))

/** Where the CUSUM says that the set-up has moved, its bends since then become a series of their own. */
function breakAt(memory: ShopMemory, setup: SetupMemory, { id }: ShopBend): DriftAlarm | null {
  const { series } = setup
  const moved = driftOf(series.cusum)
  if (moved === null) return null
  const run = splitOff(series, moved.run)
  const prior = priorOfSetup(memory, setup)
  const before = together(prior, countedOf(series))
  const offDeg = run.map(({ row, y }) => y - predictAt(before, row).mean)
  const start = changeAt(offDeg)
  for (const held of run.slice(0, start)) append(series, held)
  if (setup.breaks < BREAKS_MAX) startSeries(memory, setup, prior)
  for (const held of run.slice(start)) append(setup.series, held)
  share(memory, setup, weighAnew(memory, setup, priorOfSetup(memory, setup)))
  const since = offDeg.slice(start)
  const fitting = since.filter((_, k) => !setup.series.apart.has(run[start + k]?.id ?? id))
  const sentence = driftSentence(fitting.length > 0 ? fitting : since)
  setup.drift = { atBend: id, sinceBend: run[start]?.id ?? id, way: moved.way, sentence }
  return setup.drift
}

/**
 * The sum since it last stood at 0 begins a little early. The likeliest bend at which a mean has
 * shifted is where the sum from there on, squared, over how many, is largest (Hinkley, Biometrika 57
 * (1970) 1, from memory).
 */
function changeAt(offDeg: readonly number[]): number {
  let [best, most, sum] = [0, 0, 0]
  for (let k = offDeg.length - 1; k >= 0; k--) {
    sum += offDeg[k] ?? 0
    const gain = (sum * sum) / (offDeg.length - k)
    if (gain > most && offDeg.length - k >= CHANGED_MIN) [best, most] = [k, gain]
  }
  return best
}

/** Nothing is forgotten: the new series starts from all that others and the old one taught, widened. */
function startSeries(memory: ShopMemory, setup: SetupMemory, prior: NormalInverseGamma): void {
  share(memory, setup, weighAnew(memory, setup, prior))
  setup.breaks++
  setup.apartBefore += apartOf(setup.series)
  setup.key = `${setup.breaks} ${setup.name}`
  setup.series = newSeries()
  setup.departure = departureAfterDrift(
    departureOf(setup, setup.seat === null),
    memory.levels.lotVariance,
  )
  setup.prior = null
}

function driftSentence(offDeg: readonly number[]): string {
  const bends = offDeg.length
  const shiftDeg = offDeg.reduce((sum, deg) => sum + deg, 0) / bends
  const word = shiftDeg > 0 ? 'more' : 'less'
  const those = bends === 1 ? 'The last bend' : `The last ${bends} bends`
  return (
    `${those} sprang ${Math.abs(shiftDeg).toFixed(1)}° ${word} than those before: is this a new lot, ` +
    'or did the clamp or the die move? Until more bends are made, the prediction is wider.'
  )
}

/** What is known of a place before its next bend. @throws DomainError of the tube or material. */
export function know(memory: ShopMemory, place: SetupPlace): SetupKnowledge {
  const keys = keysOf(place)
  const setup = memory.setups.get(keys.setup)
  const lotBends = memory.lots.get(keys.lot)?.bends ?? 0
  const materialBends = memory.materials.get(keys.material)?.bends ?? 0
  if (!setup) {
    const model = { belief: priorOfNew(memory, place), bends: 0 }
    return { model, bendsMade: 0, lotBends, materialBends, drift: null }
  }
  const { series, drift, records: bendsMade } = setup
  const counted = countedOf(series)
  const belief = together(priorOfSetup(memory, setup), counted)
  const model = { belief, bends: countOf(counted) }
  const apart = series.bends - model.bends
  return {
    ...{ model, bendsMade, lotBends: lotBends - apart, materialBends: materialBends - apart },
    drift: series.bends < OWN_FEET ? drift : null,
  }
}
