import { compensatedSum } from './summary.ts'

/** Readings by part, appraiser and trial: `readings[part][appraiser][trial]`. */
export type GaugeReadings = readonly (readonly (readonly number[])[])[]

/** Standard deviations of a gauge study, in the unit of the readings. */
export interface GaugeStudy {
  /** One appraiser, one part, again and again. */
  readonly repeatability: number
  /** From appraiser to appraiser. */
  readonly reproducibility: number
  /** Both together. */
  readonly gauge: number
  readonly part: number
  readonly total: number
  /** Distinct categories: ⌊1.41 part / gauge⌋; null where the gauge has no spread. */
  readonly categories: number | null
}

export interface GaugeAnova extends GaugeStudy {
  readonly squares: Readonly<Record<Source, number>>
  readonly degreesOfFreedom: Readonly<Record<Source, number>>
  /** Mean square of part and appraiser together over that of the trials; null where those have no spread. */
  readonly interactionF: number | null
  /** The interaction was below the noise and went into the repeatability. */
  readonly pooled: boolean
}

type Source = 'part' | 'appraiser' | 'interaction' | 'repeatability'

const CATEGORIES_FACTOR = 1.41

const meanOf = (values: readonly number[]) => compensatedSum(values) / values.length
const sumOf = <T>(list: readonly T[], of: (item: T) => number) => compensatedSum(list.map(of))

/** @throws RangeError unless there are two parts, appraisers and trials or more, all cells alike and finite. */
function sizesOf(readings: GaugeReadings) {
  const parts = readings.length
  const appraisers = readings[0]?.length ?? 0
  const trials = readings[0]?.[0]?.length ?? 0
  const isWhole = readings.every(
    (part) =>
      part.length === appraisers &&
      part.every((cell) => cell.length === trials && cell.every(Number.isFinite)),
  )
  if (!(parts >= 2 && appraisers >= 2 && trials >= 2 && isWhole))
    throw new RangeError('a gauge study takes two or more parts, appraisers and trials, each alike')
  return { parts, appraisers, trials }
}

function studyOf(repeatability: number, reproducibility: number, part: number): GaugeStudy {
  const gauge = Math.hypot(repeatability, reproducibility)
  return {
    repeatability,
    reproducibility,
    gauge,
    part,
    total: Math.hypot(gauge, part),
    categories: gauge > 0 ? Math.floor((CATEGORIES_FACTOR * part) / gauge) : null,
  }
}

function squaresOf(readings: GaugeReadings): Record<Source, number> {
  const { parts, appraisers, trials } = sizesOf(readings)
  const partMeans = readings.map((part) => meanOf(part.flat()))
  const byAppraiser = Array.from({ length: appraisers }, (_, j) =>
    readings.flatMap((part) => part[j] ?? []),
  )
  const appraiserMeans = byAppraiser.map(meanOf)
  const grand = meanOf(partMeans)
  const cells = readings.flatMap((part, i) =>
    part.map((cell, j) => ({
      cell,
      mean: meanOf(cell),
      expected: (partMeans[i] ?? 0) + (appraiserMeans[j] ?? 0) - grand,
    })),
  )
  return {
    part: appraisers * trials * sumOf(partMeans, (mean) => (mean - grand) ** 2),
    appraiser: parts * trials * sumOf(appraiserMeans, (mean) => (mean - grand) ** 2),
    interaction: trials * sumOf(cells, ({ mean, expected }) => (mean - expected) ** 2),
    repeatability: sumOf(cells, ({ cell, mean }) => sumOf(cell, (own) => (own - mean) ** 2)),
  }
}

/**
 * Gauge study by analysis of variance, parts and appraisers crossed (method of the AIAG MSA manual, 4th edition,
 * chapter III; from memory). A variance that comes out below 0 counts as 0. The interaction is pooled with the
 * repeatability where its mean square is not above it, for then its own variance would be below 0.
 *
 * @throws RangeError unless there are two parts, appraisers and trials or more, all cells alike and finite.
 */
export function gaugeAnova(readings: GaugeReadings): GaugeAnova {
  const { parts, appraisers, trials } = sizesOf(readings)
  const squares = squaresOf(readings)
  const degreesOfFreedom = {
    part: parts - 1,
    appraiser: appraisers - 1,
    interaction: (parts - 1) * (appraisers - 1),
    repeatability: parts * appraisers * (trials - 1),
  }
  const meanSquare = (source: Source) => squares[source] / degreesOfFreedom[source]
  const within = meanSquare('repeatability')
  const pooled = meanSquare('interaction') <= within
  const noise = pooled
    ? (squares.interaction + squares.repeatability) /
      (degreesOfFreedom.interaction + degreesOfFreedom.repeatability)
    : within
  const between = pooled ? noise : meanSquare('interaction')
  const above = (variance: number) => Math.max(0, variance)
  const ofAppraisers = above((meanSquare('appraiser') - between) / (parts * trials))
  const ofBoth = pooled ? 0 : above((between - noise) / trials)
  const ofParts = above((meanSquare('part') - between) / (appraisers * trials))
  return {
    ...studyOf(Math.sqrt(noise), Math.sqrt(ofAppraisers + ofBoth), Math.sqrt(ofParts)),
    squares,
    degreesOfFreedom,
    interactionF: within > 0 ? meanSquare('interaction') / within : null,
    pooled,
  }
}

/** 1 / d2* for so many trials, appraisers or parts, as the manual prints them (from memory). */
const K1: Readonly<Record<number, number>> = { 2: 0.8862, 3: 0.5908 }
const K2: Readonly<Record<number, number>> = { 2: 7071 / 10_000, 3: 0.5231 }
const K3: Readonly<Record<number, number>> = {
  ...{ 2: 7071 / 10_000, 3: 0.5231, 4: 0.4467, 5: 0.403, 6: 0.3742 },
  ...{ 7: 0.3534, 8: 0.3375, 9: 0.3249, 10: 0.3146 },
}

/**
 * Gauge study by averages and ranges (same manual).
 *
 * @throws RangeError as for the analysis of variance, and for more than 3 trials, 3 appraisers or 10 parts.
 */
export function gaugeRanges(
  readings: GaugeReadings,
): GaugeStudy & { readonly constants: Readonly<Record<'K1' | 'K2' | 'K3', number>> } {
  const { parts, appraisers, trials } = sizesOf(readings)
  const [k1, k2, k3] = [K1[trials], K2[appraisers], K3[parts]]
  if (k1 === undefined || k2 === undefined || k3 === undefined)
    throw new RangeError('averages and ranges: at most 3 trials, 3 appraisers and 10 parts')
  const rangeOf = (values: readonly number[]) => Math.max(...values) - Math.min(...values)
  const meanRange = meanOf(readings.flatMap((part) => part.map(rangeOf)))
  const appraiserMeans = Array.from({ length: appraisers }, (_, j) =>
    meanOf(readings.flatMap((part) => part[j] ?? [])),
  )
  const repeatability = meanRange * k1
  const apart = (rangeOf(appraiserMeans) * k2) ** 2 - repeatability ** 2 / (parts * trials)
  const part = rangeOf(readings.map((own) => meanOf(own.flat()))) * k3
  return {
    ...studyOf(repeatability, Math.sqrt(Math.max(0, apart)), part),
    constants: { K1: k1, K2: k2, K3: k3 },
  }
}
