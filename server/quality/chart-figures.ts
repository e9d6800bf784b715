import {
  type Capability,
  type CapabilityIndex,
  capabilityOf,
  rangeDegreesOfFreedom,
  type Specification,
} from './capability.ts'
import { inOneGo } from './in-one-go.ts'
import {
  type GapBefore,
  type IndividualsLimits,
  individualsLimitsSteps,
  markRangeSteps,
  placesBeyond,
} from './individuals-chart.ts'
import { bitOf, type Marks, placesMarked } from './marked-places.ts'
import { ISO_7870_2, markRuleSteps, type RunFinding, type RunRule } from './run-rules.ts'
import { type Summary, summarySteps, type Values } from './summary.ts'

/** What a run of values comes to, in their unit. */
export interface RunFigures {
  readonly n: number
  readonly mean: number
  readonly sd: number | null
  readonly averageMovingRange: number | null
  /** Control limits of the single values. */
  readonly lowerLimit: number | null
  readonly upperLimit: number | null
  /** Sigma from moving ranges. */
  readonly cp: number | null
  readonly cpk: number | null
  /** Sigma from all values. */
  readonly pp: number | null
  readonly ppk: number | null
  readonly confidence: {
    readonly level: number
    readonly cp: Interval
    readonly cpk: Interval
    readonly pp: Interval
    readonly ppk: Interval
  }
  readonly specification: Specification
  readonly sigmaWithin: number | null
  readonly movingRangeLimit: number | null
  readonly constants: {
    readonly d2: number | null
    readonly D4: number | null
    readonly sigmas: number | null
    readonly rules: readonly RunRule[]
  }
}

/** The same, and where it breaks which rule. Places count from 0. */
export interface ChartFigures extends RunFigures {
  readonly outOfControl: readonly number[]
  readonly movingRangeOutOfControl: readonly number[]
  readonly runRules: readonly RunFinding[]
}

type Interval = readonly [low: number, high: number] | null

const LEVEL = 0.95

const intervalOf = (index: CapabilityIndex | null | undefined): Interval =>
  index ? [index.low, index.high] : null

function indicesOf(
  { n, mean }: Summary,
  specification: Specification,
  sigma: number | null,
  degreesOfFreedom: (n: number) => number,
): Partial<Capability> {
  if (sigma === null) return {}
  const known = { value: sigma, degreesOfFreedom: degreesOfFreedom(n) }
  return capabilityOf({ n, mean }, known, specification, LEVEL)
}

const limitsOf = (chart: IndividualsLimits | null) => ({
  averageMovingRange: chart?.meanRange ?? null,
  lowerLimit: chart?.lower ?? null,
  upperLimit: chart?.upper ?? null,
  sigmaWithin: chart?.sigma ?? null,
  movingRangeLimit: chart?.upperRange ?? null,
  constants: {
    d2: chart?.constants.d2 ?? null,
    D4: chart?.constants.D4 ?? null,
    sigmas: chart?.constants.sigmas ?? null,
    rules: ISO_7870_2,
  },
})

/**
 * Yields now and then, so that whoever charts a million values can do other things in between.
 *
 * @param gapBefore Where the values are of more than one process: the places before which it was changed. No moving
 *   range is made across, and Cp and Cpk, which are of one process, are not there.
 * @throws RangeError for no value, or a lower limit that is not below the upper one.
 */
export function* runFigureSteps(
  values: Values,
  specification: Specification,
  gapBefore: GapBefore | null = null,
): Generator<void, RunFigures> {
  const summary = yield* summarySteps(values)
  const chart = yield* individualsLimitsSteps(values, summary.mean, gapBefore ?? undefined)
  const sigma = chart && gapBefore === null ? chart.sigma : null
  const within = indicesOf(summary, specification, sigma, rangeDegreesOfFreedom)
  const overall = indicesOf(summary, specification, summary.sd, (n) => n - 1)
  return {
    ...summary,
    ...limitsOf(chart),
    cp: within.width?.value ?? null,
    cpk: within.nearest?.value ?? null,
    pp: overall.width?.value ?? null,
    ppk: overall.nearest?.value ?? null,
    confidence: {
      level: LEVEL,
      cp: intervalOf(within.width),
      cpk: intervalOf(within.nearest),
      pp: intervalOf(overall.width),
      ppk: intervalOf(overall.nearest),
    },
    specification,
  }
}

/** Each rule of a chart has a bit, in their order; above them is the one for a step that is too large. */
export const RANGE_BIT = bitOf(ISO_7870_2.length)

/** Which places of the run break which rule; none where it has no limits. */
export function* brokenSteps(
  values: Values,
  { mean: centre, sigmaWithin: sigma, movingRangeLimit }: RunFigures,
  gapBefore: GapBefore | null = null,
): Generator<void, Marks> {
  const marks = new Uint8Array(values.length)
  if (sigma === null || movingRangeLimit === null) return marks
  for (const [nth, rule] of ISO_7870_2.entries())
    yield* markRuleSteps(rule, { values, centre, sigma }, marks, bitOf(nth))
  const run = gapBefore === null ? { values } : { values, gapBefore }
  yield* markRangeSteps(run, movingRangeLimit, marks, RANGE_BIT)
  return marks
}

/** Figures and places of one process, in one go. @throws RangeError as `runFigureSteps`. */
export function chartFigures(values: Values, specification: Specification): ChartFigures {
  const figures = inOneGo(runFigureSteps(values, specification))
  const broken = inOneGo(brokenSteps(values, figures))
  const { lowerLimit: lower, upperLimit: upper } = figures
  const found = ISO_7870_2.map((rule, nth) => ({ rule, places: placesMarked(broken, bitOf(nth)) }))
  return {
    ...figures,
    outOfControl: lower === null || upper === null ? [] : placesBeyond(values, { lower, upper }),
    movingRangeOutOfControl: placesMarked(broken, RANGE_BIT),
    runRules: found.filter(({ places }) => places.length > 0),
  }
}
