import { CUSUM_START, type Cusum } from './drift-watch.ts'
import {
  beliefFrom,
  type NormalInverseGamma,
  observe,
  predictAt,
  type Row,
} from './normal-inverse-gamma.ts'
import { medianSpread, residualsOf, robustFit, studentWeight } from './robust-weights.ts'

/** A bend as a series holds it; row and y are scaled by its own weight's root. */
export interface HeldBend {
  readonly id: number
  readonly loadedDeg: number
  readonly springbackDeg: number
  readonly row: Row
  readonly y: number
  readonly vouched: boolean
}

/** A bend that does not fit, and why; it teaches nothing until a person puts it back. */
export interface SetApart {
  readonly id: number
  /** Student-t weight, 1.25 on the line and nearly 0 far off. */
  readonly weight: number
  /** More than the other bends say; negative for less. Degrees. */
  readonly offDeg: number
  readonly why: string
}

/** Bends of one set-up in their order, with no known break between them. Filled as they come. */
export interface BendSeries {
  bends: number
  /** What counts of the bends too long ago to be weighed again; observations alone. */
  settled: NormalInverseGamma
  /** The last bends, oldest first. */
  recent: readonly HeldBend[]
  apart: ReadonlyMap<number, SetApart>
  cusum: Cusum
  /** Sum of squared one-step errors in units of the noise variance's own, and how many. */
  errors: { readonly sum: number; readonly count: number }
}

/** A flat start: what least squares starts from. */
const NOTHING = beliefFrom({ mean: [0, 0], precision: [0, 0], shape: -1, rate: 0 })

export const newSeries = (): BendSeries => ({
  bends: 0,
  settled: NOTHING,
  recent: [],
  apart: new Map(),
  cusum: CUSUM_START,
  errors: { sum: 0, count: 0 },
})

/**
 * Bends that are weighed anew with each further bend. Those before keep the weight they had; that is
 * what lets 100,000 bends of one set-up be learned in seconds.
 */
export const RECENT_MAX = 24

/** With fewer, a wrong prior would weigh the truth down. */
const ROBUST_FROM = 4
/**
 * Until then a bend this many scales off what was foreseen is set apart for the time being; the next
 * ones decide. By chance one in 16,000.
 */
const EARLY_SCORE = 4
/** (ν + 1)/(ν + r²/σ²) with ν = 4 at 4σ: of normal noise, one bend in 16,000. */
const APART_BELOW = 0.25

/** The series with one more bend, not yet weighed. */
export function append(series: BendSeries, bend: HeldBend): void {
  series.bends++
  series.recent = [...series.recent, bend]
  const oldest = series.recent[0]
  if (series.recent.length <= RECENT_MAX || !oldest) return
  if (!series.apart.has(oldest.id)) series.settled = observe(series.settled, oldest.row, oldest.y)
  series.recent = series.recent.slice(1)
}

/** A prior and a summary of observations: the same as the prior after each of them. */
export function together(prior: NormalInverseGamma, seen: NormalInverseGamma): NormalInverseGamma {
  const first = observe(prior, [seen.r11, seen.r12], seen.z1)
  const both = observe(first, [0, seen.r22], seen.z2)
  const observations = 2 * (seen.shape - NOTHING.shape)
  return { ...both, shape: prior.shape + observations / 2, rate: both.rate + seen.rate }
}

/** All that counts of the series, observations alone. */
export function countedOf({ settled, recent, apart }: BendSeries): NormalInverseGamma {
  return recent.reduce(
    (held, { id, row, y }) => (apart.has(id) ? held : observe(held, row, y)),
    settled,
  )
}

/** How many of its bends count. */
export const countOf = ({ shape }: NormalInverseGamma): number => 2 * (shape - NOTHING.shape)

/** What the newest bend was foreseen as, and how far it was off as a standard normal value. */
export interface Foreseen {
  readonly springbackDeg: number
  readonly score: number
}

/**
 * Which of the recent bends do not fit the others, weighed anew.
 *
 * @param prior Of this set-up, precision in units of the noise variance.
 * @param sigmaDeg Believed noise of one bend; where the bends themselves scatter more, theirs is taken.
 */
export function weigh(
  series: BendSeries,
  prior: NormalInverseGamma,
  sigmaDeg: number,
  newest?: Foreseen,
): void {
  if (series.bends < ROBUST_FROM) {
    if (newest) weighEarly(series, newest)
    return
  }
  const start = together(prior, series.settled)
  const { recent } = series
  const first = robustFit(start, recent, sigmaDeg)
  const shownDeg = medianSpread(residualsOf(first.coefficients, recent))
  const { coefficients, weights } = shownDeg > sigmaDeg ? robustFit(start, recent, shownDeg) : first
  const residuals = residualsOf(coefficients, recent)
  const kept = [...series.apart].filter(([id]) => !recent.some((bend) => bend.id === id))
  const apart = new Map(kept)
  recent.forEach((bend, k) => {
    const weight = weights[k] ?? 1
    if (weight >= APART_BELOW || bend.vouched) return
    const offDeg = residuals[k] ?? 0
    const scatters = Math.abs(offDeg) / Math.max(shownDeg, sigmaDeg)
    apart.set(bend.id, { id: bend.id, weight, offDeg, why: whyApart(bend, offDeg, scatters) })
  })
  series.apart = apart
}

/** Two in a row that are off the same way bear each other out: then it was the prior that was off. */
function weighEarly(series: BendSeries, { springbackDeg, score }: Foreseen): void {
  const [before, bend] = [series.recent.at(-2), series.recent.at(-1)]
  if (!bend || bend.vouched || !(Math.abs(score) >= EARLY_SCORE)) return
  const offDeg = bend.springbackDeg - springbackDeg
  const same = before && (series.apart.get(before.id)?.offDeg ?? 0) * offDeg > 0
  const others = [...series.apart].filter(([id]) => !(same && id === before.id))
  const weight = studentWeight(score, 1)
  const why = before
    ? whyApart(bend, offDeg, Math.abs(score))
    : `${bend.springbackDeg.toFixed(1)}° came back where ${springbackDeg.toFixed(1)}° was expected of ` +
      'a first bend: are material, wall and radius the ones set? It teaches nothing unless the next bear it out.'
  const one = { id: bend.id, weight, offDeg, why }
  series.apart = new Map(same ? others : [...others, [bend.id, one]])
}

/**
 * Of the bends with which a series begins after a drift: those much farther off than the nearest of them, in
 * proportion to their angle. One bumped bend is not to be taken for the drift; from the fourth bend on the
 * weights decide.
 */
export function oddAmong(
  before: NormalInverseGamma,
  bends: readonly HeldBend[],
): ReadonlyMap<number, SetApart> {
  const offs = bends.map((bend) => {
    const { mean, scale } = predictAt(before, bend.row)
    return { bend, offDeg: bend.y - mean, scaleDeg: scale, share: (bend.y - mean) / bend.loadedDeg }
  })
  const least = offs.reduce(
    (nearest, { share }) => (Math.abs(share) < Math.abs(nearest) ? share : nearest),
    Number.POSITIVE_INFINITY,
  )
  const odd = offs.flatMap(({ bend, offDeg, scaleDeg }): [number, SetApart][] => {
    const restDeg = offDeg - least * bend.loadedDeg
    const scales = Math.abs(restDeg) / scaleDeg
    if (bend.vouched || !(scales >= EARLY_SCORE)) return []
    const why = whyApart(bend, restDeg, scales)
    return [[bend.id, { id: bend.id, weight: studentWeight(scales, 1), offDeg: restDeg, why }]]
  })
  return new Map(odd)
}

function whyApart(bend: HeldBend, residualDeg: number, scatters: number): string {
  const othersDeg = bend.springbackDeg - residualDeg
  return (
    `${bend.springbackDeg.toFixed(1)}° came back where the other bends say ${othersDeg.toFixed(1)}°, ` +
    `${scatters.toFixed(0)} times their scatter: did the tube slip, was it another one, or was the ` +
    'sensor bumped? It teaches nothing unless later bends bear it out.'
  )
}

/** Takes the last `run` of the recent bends out into a series of their own. */
export function splitOff(series: BendSeries, run: number): readonly HeldBend[] {
  const from = Math.max(0, series.recent.length - run)
  const taken = series.recent.slice(from)
  series.recent = series.recent.slice(0, from)
  series.bends -= taken.length
  series.apart = new Map([...series.apart].filter(([id]) => !taken.some((bend) => bend.id === id)))
  series.cusum = CUSUM_START
  return taken
}
