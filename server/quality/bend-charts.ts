import { brokenSteps, RANGE_BIT, type RunFigures, runFigureSteps } from './chart-figures.ts'
import {
  type BlockRows,
  type ChartedBends,
  countOf,
  type Extent,
  extentSteps,
  makeAt,
  measuredSteps,
  valuesSteps,
} from './charted-bends.ts'
import { errorCauseSteps } from './error-causes.ts'
import type { GapBefore } from './individuals-chart.ts'
import { lotSpringbackSteps } from './lot-springback.ts'
import { bitOf, countMarked, type Marks, placesMarked } from './marked-places.ts'
import { changeSteps, changesBetween, mixSteps } from './process-mix.ts'
import { ISO_7870_2 } from './run-rules.ts'
import { thinnedSteps } from './thinned.ts'

/** Of a chart, at most so many points are drawn, and so many bends named at a rule. */
export const POINTS_MAX = 2000
const NAMED_MAX = 200

/** A run of errors, and which bend has which. */
interface Run {
  readonly at: ReturnType<typeof makeAt>
  readonly values: Float64Array
}

/** Why these bends have no capability, in a sentence; null: they have one. */
function refusal(tolerance: Extent | null, figures: RunFigures): string | null {
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

function indicesOf(figures: RunFigures) {
  const { confidence } = figures
  return (['cp', 'cpk', 'pp', 'ppk'] as const).flatMap((name) => {
    const [value, interval] = [figures[name], confidence[name]]
    if (value === null || interval === null) return []
    const estimator = name.startsWith('c') ? ('moving-ranges' as const) : ('all-values' as const)
    return [{ name, estimator, value, low: interval[0], high: interval[1] }]
  })
}

/** How many bends have a mark, and which are the first of them. */
function* markedSteps({ at }: Run, broken: Marks, bit: number) {
  const count = countMarked(broken, bit)
  yield
  const places = placesMarked(broken, bit, NAMED_MAX)
  yield
  return { count, bends: places.map((place) => at(place).id) }
}

/** Which rules are broken, and by which bends. */
function* brokenRuleSteps(run: Run, broken: Marks) {
  const rules = []
  for (const [nth, rule] of ISO_7870_2.entries()) {
    const found = yield* markedSteps(run, broken, bitOf(nth))
    if (found.count > 0) rules.push({ rule, ...found })
  }
  return { rules, rangesBeyond: yield* markedSteps(run, broken, RANGE_BIT) }
}

const RULE_BITS = ISO_7870_2.map(({ name }, nth) => ({ name, bit: bitOf(nth) }))

const namesOf = (marks: number) =>
  [...RULE_BITS, { name: 'range', bit: RANGE_BIT }].flatMap(({ name, bit }) =>
    (marks & bit) === 0 ? [] : [name],
  )

function* pointSteps({ at, values }: Run, broken: Marks, changes: GapBefore | null) {
  const drawn = yield* thinnedSteps(values, POINTS_MAX, broken)
  yield
  return drawn.map((place, nth) => {
    const bend = at(place)
    const { columns, row, id } = bend
    const hasRange = place > 0 && !changes?.has(place)
    return {
      ...{ id, startedMs: columns.startedMs[row] ?? 0, offDeg: values[place] ?? 0 },
      toleranceDeg: columns.toleranceDeg[row] ?? 0,
      rangeDeg: hasRange ? Math.abs((values[place] ?? 0) - (values[place - 1] ?? 0)) : null,
      broken: namesOf(broken[place] ?? 0),
      changed: changesBetween(at(drawn[nth - 1] ?? place), bend),
    }
  })
}

/** A specification of one tolerance for all; where they differ, or there is none, no limits. */
function specificationOf(tolerance: Extent | null) {
  const one = tolerance?.leastDeg === tolerance?.mostDeg ? (tolerance?.leastDeg ?? 0) : 0
  return one > 0 ? { lower: -one, upper: one } : { lower: null, upper: null }
}

/** The chart of bends that count, oldest first; null where there is none. */
function* errorChartSteps(blocks: readonly BlockRows[], bends: ChartedBends, room: Float64Array) {
  if (room.length === 0) return null
  const tolerance = yield* extentSteps(blocks, 'toleranceDeg')
  const wanted = yield* extentSteps(blocks, 'wantedDeg')
  const mixed = yield* mixSteps(blocks, bends)
  const changes = mixed.length > 0 ? yield* changeSteps(blocks) : null
  const run = { at: makeAt(blocks), values: yield* valuesSteps(blocks, 'offDeg', room) }
  const figures = yield* runFigureSteps(run.values, specificationOf(tolerance), changes)
  const broken = yield* brokenSteps(run.values, figures, changes)
  const { rules, rangesBeyond } = yield* brokenRuleSteps(run, broken)
  const points = yield* pointSteps(run, broken, changes)
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
    ...{ rules, rangesBeyond },
    isStable: canTell ? rules.length + rangesBeyond.count === 0 : null,
    mixed,
    constants: { ...figures.constants, rules: [...figures.constants.rules] },
    ...{ tolerance, wanted, points },
    capability: {
      ...{ why, level: figures.confidence.level },
      indices: why === null ? indicesOf(figures) : [],
    },
  }
}

function* voidedPointSteps(blocks: readonly BlockRows[], values: Float64Array) {
  const at = makeAt(blocks)
  return (yield* thinnedSteps(values, POINTS_MAX)).map((place) => {
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
  const byLot = yield* lotSpringbackSteps(blocks, bends, room)
  const byCause = yield* errorCauseSteps(blocks, room)
  const voidedRoom = new Float64Array(countOf(voidedOff))
  const voidedValues = yield* valuesSteps(voidedOff, 'offDeg', voidedRoom)
  return {
    total: standing + countOf(voided),
    unmeasured: standing - countOf(blocks),
    voided: {
      count: countOf(voided),
      points: yield* voidedPointSteps(voidedOff, voidedValues),
    },
    ...{ error, ...byLot, ...byCause },
  }
}
