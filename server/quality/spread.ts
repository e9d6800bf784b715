import { summarySteps, type Values } from './summary.ts'

/** Count, mean and standard deviation, degrees; null where there are too few. In steps. */
export function* spreadSteps(values: Values) {
  if (values.length === 0) return { n: 0, meanDeg: null, sdDeg: null }
  const { n, mean, sd } = yield* summarySteps(values)
  return { n, meanDeg: mean, sdDeg: sd }
}

/** The least and the largest; null of none. */
export function extentOf(values: Values) {
  let [least, most] = [Infinity, -Infinity]
  for (let i = 0; i < values.length; i += 1) {
    const value = values[i] ?? Number.NaN
    if (value < least) least = value
    if (value > most) most = value
  }
  return least <= most ? { leastDeg: least, mostDeg: most } : null
}
