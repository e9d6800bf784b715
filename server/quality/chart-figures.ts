import {
  type Capability,
  type CapabilityIndex,
  capabilityOf,
  rangeDegreesOfFreedom,
  type Specification,
} from './capability.ts'
import { type GapBefore, type IndividualsChart, individualsChart } from './individuals-chart.ts'
import { ISO_7870_2, type RunFinding, type RunRule, runFindings } from './run-rules.ts'
import { type Summary, summaryOf, type Values } from './summary.ts'

/** What a run of values shows, in their unit. Places count from 0. */
export interface ChartFigures {
  readonly n: number
  readonly mean: number
  readonly sd: number | null
  readonly averageMovingRange: number | null
  /** Control limits of the single values. */
  readonly lowerLimit: number | null
  readonly upperLimit: number | null
  readonly outOfControl: readonly number[]
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
  readonly movingRangeOutOfControl: readonly number[]
  readonly runRules: readonly RunFinding[]
  readonly constants: {
    readonly d2: number | null
    readonly D4: number | null
    readonly sigmas: number | null
    readonly rules: readonly RunRule[]
  }
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

function* findingSteps(values: Values, { centre, sigma }: IndividualsChart) {
  const findings: RunFinding[] = []
  for (const rule of ISO_7870_2) {
    findings.push(...runFindings(values, centre, sigma, [rule]))
    yield
  }
  return findings
}

/**
 * Yields now and then, so that whoever charts a million values can do other things in between.
 *
 * @param gapBefore Where the values are of more than one process: the places before which it was changed. No moving
 *   range is made across, and Cp and Cpk, which are of one process, are not there.
 * @throws RangeError for no value, or a lower limit that is not below the upper one.
 */
export function* chartFigureSteps(
  values: Values,
  specification: Specification,
  gapBefore: GapBefore | null = null,
): Generator<void, ChartFigures> {
  const summary = summaryOf(values)
  yield
  const chart = individualsChart(values, gapBefore ?? undefined, summary.mean)
  yield
  const runRules = chart ? yield* findingSteps(values, chart) : []
  const sigma = chart && gapBefore === null ? chart.sigma : null
  const within = indicesOf(summary, specification, sigma, rangeDegreesOfFreedom)
  const overall = indicesOf(summary, specification, summary.sd, (n) => n - 1)
  return {
    ...summary,
    averageMovingRange: chart?.meanRange ?? null,
    lowerLimit: chart?.lower ?? null,
    upperLimit: chart?.upper ?? null,
    outOfControl: chart?.beyond ?? [],
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
    sigmaWithin: chart?.sigma ?? null,
    movingRangeLimit: chart?.upperRange ?? null,
    movingRangeOutOfControl: chart?.beyondRange ?? [],
    runRules,
    constants: {
      d2: chart?.constants.d2 ?? null,
      D4: chart?.constants.D4 ?? null,
      sigmas: chart?.constants.sigmas ?? null,
      rules: ISO_7870_2,
    },
  }
}

/** The same in one go, of one process. */
export function chartFigures(values: Values, specification: Specification): ChartFigures {
  const steps = chartFigureSteps(values, specification)
  let step = steps.next()
  while (!step.done) step = steps.next()
  return step.value
}
