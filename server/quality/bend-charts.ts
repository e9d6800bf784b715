import { type ChartFigures, chartFigures } from './chart-figures.ts'
import { summaryOf } from './summary.ts'
import { thinned } from './thinned.ts'

/** What charts are made of. Degrees; NaN where a bend has none. */
export interface ChartedBend
  extends Readonly<Record<'stopDeg' | 'tubeDeg' | 'aimDeg' | 'expandedDeg', number>> {
  readonly id: number
  readonly startedMs: number
  readonly lot: string
  /** Released less wanted. */
  readonly offDeg: number
  readonly wantedDeg: number
  readonly toleranceDeg: number
  readonly springbackDeg: number
  readonly isVoid: boolean
}

/** Of a chart, at most so many points are drawn, and so many bends named at a rule. */
export const POINTS_MAX = 2000
export const NAMED_MAX = 200
const CAUSES = ['stop', 'tube', 'aim'] as const

const byBend = (bends: readonly ChartedBend[], places: readonly number[]) => ({
  count: places.length,
  bends: places.slice(0, NAMED_MAX).map((place) => bends[place]?.id ?? 0),
})

/** Count, mean and standard deviation; null where there are too few. */
function spreadOf(values: readonly number[]) {
  if (values.length === 0) return { n: 0, meanDeg: null, sdDeg: null }
  const { n, mean, sd } = summaryOf(values)
  return { n, meanDeg: mean, sdDeg: sd }
}

function extent(values: readonly number[]) {
  let [least, most] = [Infinity, -Infinity]
  for (const value of values) {
    least = Math.min(least, value)
    most = Math.max(most, value)
  }
  return least <= most ? { leastDeg: least, mostDeg: most } : null
}

/** Why these bends have no capability, in a sentence; null: they have one. */
function refusal(tolerance: ReturnType<typeof extent>, figures: ChartFigures): string | null {
  if (tolerance === null || figures.n < 2)
    return 'Capability takes two measured bends or more that are not void.'
  const { leastDeg, mostDeg } = tolerance
  if (leastDeg !== mostDeg)
    return `The tolerances of these bends differ (±${leastDeg}° to ±${mostDeg}°), so one index would tell of none of them; narrow the filter to one.`
  if (!(leastDeg > 0)) return 'These bends have no tolerance, so there is nothing to be capable of.'
  if (figures.ppk === null || figures.cpk === null)
    return 'All errors are the same: without spread capability has no value.'
  return null
}

function indicesOf(figures: ChartFigures) {
  const { confidence } = figures
  return (['cp', 'cpk', 'pp', 'ppk'] as const).map((name) => ({
    name,
    estimator: name.startsWith('c') ? ('moving-ranges' as const) : ('all-values' as const),
    value: figures[name] ?? 0,
    low: confidence[name]?.[0] ?? 0,
    high: confidence[name]?.[1] ?? 0,
  }))
}

/** Springback of each lot, the lot met last first. */
function lotsOf(bends: readonly ChartedBend[]) {
  const values = new Map<string, number[]>()
  for (const { lot, springbackDeg } of bends) {
    if (Number.isNaN(springbackDeg)) continue
    const own = values.get(lot) ?? []
    own.push(springbackDeg)
    // To the end, so that the order is that of the last bends.
    values.delete(lot)
    values.set(lot, own)
  }
  const lots = [...values].reverse()
  return {
    lots: lots.slice(0, NAMED_MAX).map(([lot, own]) => ({ lot, ...spreadOf(own) })),
    lotsLeftOut: Math.max(0, lots.length - NAMED_MAX),
  }
}

/** Each cause's mean, scatter and part of all that was off, over bends whose causes are known. */
function causesOf(bends: readonly ChartedBend[]) {
  const known = bends.filter(({ stopDeg }) => !Number.isNaN(stopDeg))
  const sizes = CAUSES.map((cause) =>
    known.reduce((sum, bend) => sum + Math.abs(bend[`${cause}Deg`]), 0),
  )
  const all = sizes.reduce((sum, size) => sum + size, 0)
  const readout = bends.map(({ expandedDeg }) => expandedDeg).filter((deg) => !Number.isNaN(deg))
  return {
    causes: CAUSES.map((cause, i) => ({
      cause,
      ...spreadOf(known.map((bend) => bend[`${cause}Deg`])),
      part: all > 0 ? (sizes[i] ?? 0) / all : null,
    })),
    readout: { n: readout.length, meanExpandedDeg: spreadOf(readout).meanDeg },
  }
}

/** The chart of bends that count, oldest first; null where there is none. */
function errorChart(bends: readonly ChartedBend[]) {
  if (bends.length === 0) return null
  const values = bends.map(({ offDeg }) => offDeg)
  const tolerance = extent(bends.map(({ toleranceDeg }) => toleranceDeg))
  const one = tolerance?.leastDeg === tolerance?.mostDeg ? (tolerance?.leastDeg ?? 0) : 0
  const specification = one > 0 ? { lower: -one, upper: one } : { lower: null, upper: null }
  const figures = chartFigures(values, specification)
  const why = refusal(tolerance, figures)
  const broken = new Map<number, string[]>()
  const mark = (places: readonly number[], name: string) => {
    for (const place of places) broken.set(place, [...(broken.get(place) ?? []), name])
  }
  for (const { rule, places } of figures.runRules) mark(places, rule.name)
  mark(figures.movingRangeOutOfControl, 'range')
  const places = thinned(
    values,
    POINTS_MAX,
    [...broken.keys()].sort((a, b) => a - b),
  )
  return {
    ...{ n: figures.n, meanDeg: figures.mean, sdDeg: figures.sd },
    ...{ lowerDeg: figures.lowerLimit, upperDeg: figures.upperLimit },
    sigmaWithinDeg: figures.sigmaWithin,
    meanRangeDeg: figures.averageMovingRange,
    upperRangeDeg: figures.movingRangeLimit,
    rules: figures.runRules.map((found) => ({ rule: found.rule, ...byBend(bends, found.places) })),
    rangesBeyond: byBend(bends, figures.movingRangeOutOfControl),
    isStable: figures.lowerLimit === null ? null : broken.size === 0,
    constants: { ...figures.constants, rules: [...figures.constants.rules] },
    ...{ tolerance, wanted: extent(bends.map(({ wantedDeg }) => wantedDeg)) },
    capability: {
      ...{ why, level: figures.confidence.level },
      indices: why === null ? indicesOf(figures) : [],
    },
    points: places.map((place) => ({
      id: bends[place]?.id ?? 0,
      startedMs: bends[place]?.startedMs ?? 0,
      offDeg: values[place] ?? 0,
      toleranceDeg: bends[place]?.toleranceDeg ?? 0,
      rangeDeg: place === 0 ? null : Math.abs((values[place] ?? 0) - (values[place - 1] ?? 0)),
      broken: broken.get(place) ?? [],
    })),
  }
}

/**
 * Everything that is charted of a selection of bends: figures over all of them, points for drawing at most
 * `POINTS_MAX`. Void bends stand apart and count nowhere else; neither do bends without a released angle.
 *
 * @param selected In the order in which they were bent.
 */
export function bendCharts(selected: readonly ChartedBend[]) {
  const hasAngle = ({ offDeg }: ChartedBend) => !Number.isNaN(offDeg)
  const standing = selected.filter(({ isVoid }) => !isVoid)
  const measured = standing.filter(hasAngle)
  const voided = selected.filter(({ isVoid }) => isVoid)
  const voidedOff = voided.filter(hasAngle)
  const shown = thinned(
    voidedOff.map(({ offDeg }) => offDeg),
    POINTS_MAX,
  )
  return {
    total: selected.length,
    unmeasured: standing.length - measured.length,
    voided: {
      count: voided.length,
      points: shown.flatMap((place) => {
        const bend = voidedOff[place]
        return bend ? [{ id: bend.id, startedMs: bend.startedMs, offDeg: bend.offDeg }] : []
      }),
    },
    error: errorChart(measured),
    ...lotsOf(measured),
    ...causesOf(measured),
  }
}
