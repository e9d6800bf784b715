import { availableParallelism, loadavg } from 'node:os'

/** The smallest of the values that this part of them, above 0 to 1, does not exceed; NaN of none. */
export function quantile(values: readonly number[], part: number): number {
  const sorted = values.toSorted((a, b) => a - b)
  return sorted[Math.max(0, Math.ceil(part * sorted.length) - 1)] ?? Number.NaN
}

/** To be printed above a table: what a busy machine measures is the others' work too. */
export const busyness = (): string =>
  `load average of the last minute ${loadavg()[0]?.toFixed(1)} on ${availableParallelism()} cores`
