/** What a CUSUM chart is made with, in the unit of the values. */
export interface CusumSettings {
  readonly target: number
  /** Slack: half of the shift that is to be found. */
  readonly k: number
  /** A sum beyond it is a signal. */
  readonly h: number
}

export interface Cusum {
  readonly high: readonly number[]
  readonly low: readonly number[]
  /** Places (from 0) at which either sum is beyond h. */
  readonly signals: readonly number[]
  readonly constants: CusumSettings
}

/**
 * Two one-sided cumulative sums: high = max(0, high + value − target − k), low likewise downwards, both from 0
 * (ISO 7870-4; NIST/SEMATECH e-Handbook, 6.3.2.3). They are not set back after a signal.
 *
 * @throws RangeError for a value or a setting that is not finite, k below 0, or h not above 0.
 */
export function cusum(values: readonly number[], settings: CusumSettings): Cusum {
  const { target, k, h } = settings
  if (!(Number.isFinite(target) && k >= 0 && k < Infinity && h > 0 && h < Infinity))
    throw new RangeError(`no CUSUM has target ${target}, k ${k} and h ${h}`)
  if (!values.every(Number.isFinite)) throw new RangeError('a CUSUM takes finite values')
  const sums = (side: 1 | -1) => {
    let sum = 0
    return values.map((value) => {
      sum = Math.max(0, sum + side * (value - target) - k)
      return sum
    })
  }
  const [high, low] = [sums(1), sums(-1)]
  const isSignal = (place: number) => (high[place] ?? 0) > h || (low[place] ?? 0) > h
  return {
    high,
    low,
    signals: values.flatMap((_, i) => (isSignal(i) ? [i] : [])),
    constants: settings,
  }
}
