import { meanOf, type NormalInverseGamma, observe, type Row } from './normal-inverse-gamma.ts'

/** One observation of y = β₁·x₁ + β₂·x₂. */
export interface RobustRow {
  readonly row: Row
  readonly y: number
  /** A person has vouched for it: it keeps weight 1 whatever the others say. */
  readonly vouched?: boolean
}

/** Degrees of freedom of the noise: heavy tails, as small samples of shop data have them. */
const NU = 4
/** Each step shrinks the change; from 1 the fit is there in ten to twenty. */
const STEPS_MAX = 60
const SETTLED = 1e-10

/** Of one row that is off the line by `residual`. */
export const studentWeight = (residual: number, sigma: number): number =>
  (NU + 1) / (NU + (residual / sigma) ** 2)

function weighted(
  prior: NormalInverseGamma,
  rows: readonly RobustRow[],
  weights: readonly number[],
): NormalInverseGamma {
  let belief = prior
  rows.forEach(({ row, y }, k) => {
    const root = Math.sqrt(weights[k] ?? 0)
    belief = observe(belief, [root * row[0], root * row[1]], root * y)
  })
  return belief
}

/** What each row is off the line, in the rows' order. */
export function residualsOf([first, second]: Row, rows: readonly RobustRow[]): number[] {
  return rows.map(({ row, y }) => y - first * row[0] - second * row[1])
}

/**
 * Weights under Student-t noise of 4 degrees of freedom, by iteratively re-weighted least squares:
 *
 *     w = (ν + 1)/(ν + (r/σ)²),   solved again with these weights until they stand still.
 *
 * A row on the line weighs 1.25, one at 4σ a quarter, one far off nearly nothing. This is the most
 * likely line given the prior; with two or three rows and a wrong prior it would weigh the truth
 * down, so the caller keeps to equal weights until there are four.
 *
 * Sources: Lange, Little & Taylor, JASA 84 (1989) 881; Gelman et al., Bayesian Data Analysis 17.2.
 * Both from memory.
 *
 * @param prior Its precision in units of 1/σ².
 * @param sigma More than 0.
 */
export function robustFit(
  prior: NormalInverseGamma,
  rows: readonly RobustRow[],
  sigma: number,
): { readonly coefficients: Row; readonly weights: readonly number[] } {
  let weights = rows.map(() => 1)
  for (let step = 0; step < STEPS_MAX; step++) {
    const residuals = residualsOf(meanOf(weighted(prior, rows, weights)), rows)
    const next = rows.map(({ vouched }, k) =>
      vouched ? 1 : studentWeight(residuals[k] ?? 0, sigma),
    )
    const change = next.reduce((most, w, k) => Math.max(most, Math.abs(w - (weights[k] ?? 0))), 0)
    weights = next
    if (change < SETTLED) break
  }
  return { coefficients: meanOf(weighted(prior, rows, weights)), weights }
}

/** Median absolute value to standard deviation, for normal noise: 1/Φ⁻¹(0.75). */
const MEDIAN_TO_SD = 1.482602

/** Standard deviation that half of the residuals show; the other half may be anything. 0 of none. */
export function medianSpread(residuals: readonly number[]): number {
  const sizes = residuals.map(Math.abs).toSorted((a, b) => a - b)
  const upper = sizes[Math.floor(sizes.length / 2)] ?? 0
  const lower = sizes[Math.ceil(sizes.length / 2) - 1] ?? 0
  return (MEDIAN_TO_SD * (lower + upper)) / 2
}
