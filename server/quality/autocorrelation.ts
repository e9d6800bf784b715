import { compensatedSum, deviationsOf, squaresOf, type Values } from './summary.ts'

/**
 * Lag-1 autocorrelation: Σ (value − mean)(next − mean) / Σ (value − mean)², as NIST's reference data sets define it.
 *
 * @param values In the order in which they were taken.
 * @returns null where all are the same, or there is but one.
 * @throws RangeError for no value, or one that is not finite.
 */
export function autocorrelation(values: Values): number | null {
  const { deviations } = deviationsOf(values)
  const squares = squaresOf(deviations)
  if (!(squares > 0)) return null
  const products = deviations.subarray(1).map((own, i) => own * (deviations[i] ?? 0))
  return compensatedSum(products) / squares
}
