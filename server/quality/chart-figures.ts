import {
  type CapabilityIndex,
  capabilityOf,
  rangeDegreesOfFreedom,
  type Specification,
} from './capability.ts'
import { individualsChart } from './individuals-chart.ts'
import { ISO_7870_2, type RunFinding, type RunRule, runFindings } from './run-rules.ts'
import { summaryOf } from './summary.ts'

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
const NONE = { width: null, nearest: null } as const

const intervalOf = (index: CapabilityIndex | null): Interval => index && [index.low, index.high]

/** @throws RangeError for no value, or a lower limit that is not below the upper one. */
export function chartFigures(
  values: readonly number[],
  specification: Specification,
): ChartFigures {
  const { n, mean, sd } = summaryOf(values)
  const chart = individualsChart(values)
  const indices = (sigma: number | null | undefined, degreesOfFreedom: () => number) =>
    sigma == null
      ? NONE
      : capabilityOf(
          { n, mean },
          { value: sigma, degreesOfFreedom: degreesOfFreedom() },
          specification,
          LEVEL,
        )
  const within = indices(chart?.sigma, () => rangeDegreesOfFreedom(n))
  const overall = indices(sd, () => n - 1)
  return {
    n,
    mean,
    sd,
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
    runRules: chart ? runFindings(values, chart.centre, chart.sigma) : [],
    constants: {
      d2: chart?.constants.d2 ?? null,
      D4: chart?.constants.D4 ?? null,
      sigmas: chart?.constants.sigmas ?? null,
      rules: ISO_7870_2,
    },
  }
}
