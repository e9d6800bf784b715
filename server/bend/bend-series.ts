import { CUSUM_START, type Cusum } from './drift-watch.ts'
import {
  beliefFrom,
  type NormalInverseGamma,
  observe,
  predictAt,
  type Row,
} from './normal-inverse-gamma.ts'
import { likelyOdd } from './odd-bends.ts'
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
  /** Of the recent ones. */
  apart: ReadonlyMap<number, SetApart>
  /** How many were set apart of those too long ago. */
  apartSettled: number
  /** What `countedOf` says, until the bends that count change. */
  counted: NormalInverseGamma | null
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
  apartSettled: 0,
  counted: null,
  cusum: CUSUM_START,
  errors: { sum: 0, count: 0 },
})

/**
 * Bends that are weighed anew with each further bend. Those before keep the weight they had; that is
 * what lets 100,000 bends of one set-up be learned in seconds.
 */
export const RECENT_MAX = 24

/**
 * With fewer, every choice of bends is weighed against every other (`likelyOdd`): with two or three, weights
 * under a wrong prior would weigh the truth down.
 */
const ROBUST_FROM = 7
/** (ν + 1)/(ν + r²/σ²) with ν = 4 at 4σ: of normal noise, one bend in 16,000. */
const APART_BELOW = 0.25

/** The series with one more bend, not yet weighed. */
export function append(series: BendSeries, bend: HeldBend): void {
  series.bends++
  series.counted = null
  const [oldest, ...rest] = series.recent
  if (oldest === undefined || series.recent.length < RECENT_MAX) {
    series.recent = [...series.recent, bend]
    return
  }
  series.recent = [...rest, bend]
  if (series.apart.has(oldest.id)) {
    series.apart = without(series.apart, [oldest])
    series.apartSettled++
  } else series.settled = observe(series.settled, oldest.row, oldest.y)
}

function without(
  apart: ReadonlyMap<number, SetApart>,
  bends: readonly HeldBend[],
): ReadonlyMap<number, SetApart> {
  const rest = new Map(apart)
  for (const { id } of bends) rest.delete(id)
  return rest
}

/** How many of its bends are set apart. */
export const apartOf = ({ apart, apartSettled }: BendSeries): number => apart.size + apartSettled

/** A prior and a summary of observations: the same as the prior after each of them. */
export function together(prior: NormalInverseGamma, seen: NormalInverseGamma): NormalInverseGamma {
  const first = observe(prior, [seen.r11, seen.r12], seen.z1)
  const both = observe(first, [0, seen.r22], seen.z2)
  const observations = 2 * (seen.shape - NOTHING.shape)
  return { ...both, shape: prior.shape + observations / 2, rate: both.rate + seen.rate }
}

/** All that counts of the series, observations alone. */
export function countedOf(series: BendSeries): NormalInverseGamma {
  if (series.counted !== null) return series.counted
  let counted = series.settled
  for (const { id, row, y } of series.recent)
    if (!series.apart.has(id)) counted = observe(counted, row, y)
  series.counted = counted
  return counted
}

/** How many of its bends count. */
export const countOf = ({ shape }: NormalInverseGamma): number => 2 * (shape - NOTHING.shape)

/**
 * Which of the recent bends do not fit the others, weighed anew.
 *
 * @param prior Of this set-up, precision in units of the noise variance.
 * @param sigmaDeg Believed noise of one bend; where the bends themselves scatter more, theirs is taken.
 */
export function weigh(series: BendSeries, prior: NormalInverseGamma, sigmaDeg: number): void {
  const start = together(prior, series.settled)
  const { recent } = series
  series.counted = null
  if (recent.length < ROBUST_FROM) {
    series.apart = new Map(oddOf(start, recent))
    return
  }
  const first = robustFit(start, recent, sigmaDeg)
  const shownDeg = medianSpread(residualsOf(first.coefficients, recent))
  const { coefficients, weights } = shownDeg > sigmaDeg ? robustFit(start, recent, shownDeg) : first
  const residuals = residualsOf(coefficients, recent)
  const apart = new Map<number, SetApart>()
  recent.forEach((bend, k) => {
    const weight = weights[k] ?? 1
    if (weight >= APART_BELOW || bend.vouched) return
    const offDeg = residuals[k] ?? 0
    const scatters = Math.abs(offDeg) / Math.max(shownDeg, sigmaDeg)
    apart.set(bend.id, { id: bend.id, weight, offDeg, why: whyApart(bend, offDeg, scatters) })
  })
  series.apart = apart
}

function oddOf(start: NormalInverseGamma, recent: readonly HeldBend[]): [number, SetApart][] {
  const { odd, line } = likelyOdd(start, recent)
  return odd.map((k) => {
    const bend = recent[k] as HeldBend
    const { mean, scale } = predictAt(line, bend.row)
    const scales = Math.abs(bend.y - mean) / scale
    const offDeg = bend.springbackDeg * (1 - mean / bend.y)
    const why = recent.length > 1 ? whyApart(bend, offDeg, scales) : whyFirst(bend, offDeg)
    return [bend.id, { id: bend.id, weight: studentWeight(scales, 1), offDeg, why }]
  })
}

const whyFirst = ({ springbackDeg }: HeldBend, offDeg: number): string =>
  `${springbackDeg.toFixed(1)}° came back where ${(springbackDeg - offDeg).toFixed(1)}° was expected of ` +
  'a first bend: are material, wall and radius the ones set? It teaches nothing unless the next bear it out.'

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
  series.apart = without(series.apart, taken)
  series.counted = null
  series.cusum = CUSUM_START
  return taken
}
