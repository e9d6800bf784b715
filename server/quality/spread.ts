import { summarySteps, type Values } from './summary.ts'

/** Count, mean and standard deviation, degrees; null where there are too few. In steps. */
export function* spreadSteps(values: Values) {
  if (values.length === 0) return { n: 0, meanDeg: null, sdDeg: null }
  const { n, mean, sd } = yield* summarySteps(values)
  return { n, meanDeg: mean, sdDeg: sd }
}
