import { type ChartFigures, chartFigureSteps } from './chart-figures.ts'
import {
  type BlockRows,
  type ChartedBends,
  countOf,
  makeAt,
  measuredSteps,
  valuesSteps,
} from './charted-bends.ts'
import { errorCauseSteps } from './error-causes.ts'
import type { GapBefore } from './individuals-chart.ts'
import { lotSpringbackSteps } from './lot-springback.ts'
import { placesMarked } from './marked-places.ts'
import { changeSteps, changesBetween, mixSteps } from './process-mix.ts'
import { extentOf } from './spread.ts'
import { thinned } from './thinned.ts'

/** Of a chart, at most so many points are drawn, and so many bends named at a rule. */
export const POINTS_MAX = 2000
const NAMED_MAX = 200

/** A run of errors, and which bend has which. */
interface Run {
  readonly at: ReturnType<typeof makeAt>
  readonly values: Float64Array
}

const idsAt = ({ at }: Run, places: readonly number[]) => ({
  count: places.length,
  bends: places.slice(0, NAMED_MAX).map((place) => at(place).id),
})

type Extent = ReturnType<typeof extentOf>

/** Why these bends have no capability, in a sentence; null: they have one. */
function refusal(tolerance: Extent, figures: ChartFigures): string | null {
  if (tolerance === null || figures.n < 2)
    return 'Capability takes two measured bends or more that are not void.'
  const { leastDeg, mostDeg } = tolerance
  if (leastDeg !== mostDeg)
    return `The tolerances of these bends differ (±${leastDeg}° to ±${mostDeg}°), so one index would tell of none of them; narrow the filter to one.`
  if (!(leastDeg > 0)) return 'These bends have no tolerance, so there is nothing to be capable of.'
  if (figures.ppk === null)
    return 'All errors are the same: without spread capability has no value.'
  return null
}

function indicesOf(figures: ChartFigures) {
  const { confidence } = figures
  return (['cp', 'cpk', 'pp', 'ppk'] as const).flatMap((name) => {
    const [value, interval] = [figures[name], confidence[name]]
    if (value === null || interval === null) return []
    const estimator = name.startsWith('c') ? ('moving-ranges' as const) : ('all-values' as const)
    return [{ name, estimator, value, low: interval[0], high: interval[1] }]
  })
}

/** Which rules each place breaks: a bit a rule, and the last one for a step that is too large. */
function makeBroken({ runRules, movingRangeOutOfControl, n }: ChartFigures) {
  const found = [
    ...runRules.map(({ rule, places }) => ({ name: rule.name as string, places })),
    { name: 'range', places: movingRangeOutOfControl },
  ]
  const bits = new Uint8Array(n)
  const isBroken = new Uint8Array(n)
  for (const [nth, { places }] of found.entries())
    for (const place of places) {
      bits[place] = (bits[place] ?? 0) | (1 << nth)
      isBroken[place] = 1
    }
  return {
    places: placesMarked(isBroken),
    namesAt: (place: number) =>
      found.flatMap(({ name }, nth) => (((bits[place] ?? 0) >> nth) & 1 ? [name] : [])),
  }
}

type Broken = ReturnType<typeof makeBroken>

function pointsOf({ at, values }: Run, broken: Broken, changes: GapBefore | null) {
  const drawn = thinned(values, POINTS_MAX, broken.places)
  return drawn.map((place, nth) => {
    const bend = at(place)
    const { columns, row, id } = bend
    const hasRange = place > 0 && !changes?.has(place)
    return {
      ...{ id, startedMs: columns.startedMs[row] ?? 0, offDeg: values[place] ?? 0 },
      toleranceDeg: columns.toleranceDeg[row] ?? 0,
      rangeDeg: hasRange ? Math.abs((values[place] ?? 0) - (values[place - 1] ?? 0)) : null,
      broken: broken.namesAt(place),
      changed: changesBetween(at(drawn[nth - 1] ?? place), bend),
    }
  })
}

/** A specification of one tolerance for all; where they differ, or there is none, no limits. */
function specificationOf(tolerance: Extent) {
  const one = tolerance?.leastDeg === tolerance?.mostDeg ? (tolerance?.leastDeg ?? 0) : 0
  return one > 0 ? { lower: -one, upper: one } : { lower: null, upper: null }
}

/** The chart of bends that count, oldest first; null where there is none. */
function* errorChartSteps(blocks: readonly BlockRows[], bends: ChartedBends, room: Float64Array) {
  if (room.length === 0) return null
  const tolerance = extentOf(yield* valuesSteps(blocks, 'toleranceDeg', room))
  const wanted = extentOf(yield* valuesSteps(blocks, 'wantedDeg', room))
  const mixed = yield* mixSteps(blocks, bends)
  const changes = mixed.length > 0 ? yield* changeSteps(blocks) : null
  const run = { at: makeAt(blocks), values: yield* valuesSteps(blocks, 'offDeg', room) }
  const figures = yield* chartFigureSteps(run.values, specificationOf(tolerance), changes)
  yield
  const broken = makeBroken(figures)
  yield
  const points = pointsOf(run, broken, changes)
  // Limits without a width tell nothing.
  const hasWidth = (figures.sigmaWithin ?? 0) > 0
  const canTell = changes === null && hasWidth
  const why = refusal(tolerance, figures)
  return {
    ...{ n: figures.n, meanDeg: figures.mean, sdDeg: figures.sd },
    ...{ lowerDeg: figures.lowerLimit, upperDeg: figures.upperLimit },
    sigmaWithinDeg: figures.sigmaWithin,
    meanRangeDeg: figures.averageMovingRange,
    upperRangeDeg: figures.movingRangeLimit,
    rules: figures.runRules.map((found) => ({ rule: found.rule, ...idsAt(run, found.places) })),
    rangesBeyond: idsAt(run, figures.movingRangeOutOfControl),
    isStable: canTell ? broken.places.length === 0 : null,
    mixed,
    constants: { ...figures.constants, rules: [...figures.constants.rules] },
    ...{ tolerance, wanted, points },
    capability: {
      ...{ why, level: figures.confidence.level },
      indices: why === null ? indicesOf(figures) : [],
    },
  }
}

function voidedPoints(blocks: readonly BlockRows[], values: Float64Array) {
  const at = makeAt(blocks)
  return thinned(values, POINTS_MAX).map((place) => {
    const { columns, row, id } = at(place)
    return { id, startedMs: columns.startedMs[row] ?? 0, offDeg: values[place] ?? 0 }
  })
}

/**
 * Everything that is charted of a selection of bends: figures over all of them, points for drawing at most
 * `POINTS_MAX`. Void bends stand apart and count nowhere else; neither do bends without a released angle. Yields after
 * some milliseconds each, so that a live angle goes on beside a million bends.
 */
export function* bendChartSteps(bends: ChartedBends) {
  const standing = countOf(bends.blocks)
  const voided = bends.blocks.map(({ columns, voided }) => ({ columns, rows: voided }))
  const blocks = yield* measuredSteps(bends.blocks)
  const voidedOff = yield* measuredSteps(voided)
  // One stretch of memory for one field after the other: getting it takes longer than a pass over it.
  const room = new Float64Array(countOf(blocks))
  const error = yield* errorChartSteps(blocks, bends, room)
  yield
  const byLot = yield* lotSpringbackSteps(blocks, bends)
  const byCause = yield* errorCauseSteps(blocks, room)
  const voidedValues = new Float64Array(countOf(voidedOff))
  return {
    total: standing + countOf(voided),
    unmeasured: standing - countOf(blocks),
    voided: {
      count: countOf(voided),
      points: voidedPoints(voidedOff, yield* valuesSteps(voidedOff, 'offDeg', voidedValues)),
    },
    ...{ error, ...byLot, ...byCause },
  }
}
