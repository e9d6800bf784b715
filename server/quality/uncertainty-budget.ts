import tQuantile from '@stdlib/stats-base-dists-t-quantile'

/** One line of a budget after JCGM 100:2008 (GUM). */
export interface Component {
  readonly name: string
  /** Standard uncertainty of the input, in its own unit. */
  readonly standard: number
  /** Change of the result for a change of the input by 1; 1 if not given. */
  readonly sensitivity?: number
  /** How well the standard uncertainty itself is known; Infinity if not given. */
  readonly degreesOfFreedom?: number
}

export interface Budget {
  /** Root sum of squares of sensitivity times standard uncertainty. */
  readonly standard: number
  /** Effective degrees of freedom after Welch and Satterthwaite. */
  readonly degreesOfFreedom: number
  /** Coverage factor: quantile of Student's t at those, rounded down. */
  readonly coverage: number
  readonly expanded: number
}

/** What two standard deviations of a normal distribution hold: the usual k = 2. */
export const TWO_SIGMA = 0.9544997361036416
/** Where Student's t differs from the normal distribution in the tenth digit only. */
const ENDLESS = 1e12

/** Half-width of a digital step of full width `step` as a standard uncertainty: a rectangle, a/√12 (F.2.2.1). */
export const stepStandard = (step: number): number => step / Math.sqrt(12)

function check({ name, standard, sensitivity = 1, degreesOfFreedom = Infinity }: Component) {
  if (!(standard >= 0 && standard < Infinity && Number.isFinite(sensitivity)))
    throw new RangeError(`"${name}" has no standard uncertainty: ${standard} times ${sensitivity}`)
  if (!(degreesOfFreedom >= 1)) throw new RangeError(`"${name}" needs 1 degree of freedom or more`)
}

/** Quantile of Student's t for a two-sided interval; degrees of freedom rounded down (G.4.1). */
export function coverageFactor(degreesOfFreedom: number, confidence: number = TWO_SIGMA): number {
  const whole = Math.min(ENDLESS, Math.floor(degreesOfFreedom))
  return tQuantile((1 + confidence) / 2, whole)
}

/**
 * Combines independent components: first order of the law of propagation (5.1.2), Welch–Satterthwaite
 * (G.2b), coverage factor from Student's t (G.3). Clause numbers from memory.
 *
 * @throws RangeError for an uncertainty below 0 or not finite, or less than one degree of freedom.
 */
export function budgetOf(components: readonly Component[], confidence: number = TWO_SIGMA): Budget {
  for (const component of components) check(component)
  const shares = components.map(({ standard, sensitivity = 1 }) => Math.abs(sensitivity) * standard)
  const standard = Math.hypot(...shares)
  const spent = components.reduce((sum, { degreesOfFreedom = Infinity }, i) => {
    return sum + ((shares[i] ?? 0) / (standard || 1)) ** 4 / degreesOfFreedom
  }, 0)
  const degreesOfFreedom = spent > 0 ? 1 / spent : Infinity
  const coverage = coverageFactor(degreesOfFreedom, confidence)
  return { standard, degreesOfFreedom, coverage, expanded: coverage * standard }
}
