/** What an EWMA chart is made with; centre and sigma in the unit of the values. */
export interface EwmaSettings {
  readonly centre: number
  /** Standard deviation of a single value. */
  readonly sigma: number
  /** Weight of the newest value: over 0, at most 1. */
  readonly lambda: number
  /** Limits lie so many standard deviations of the average away. */
  readonly width: number
  /** `late`: as after endless many values; `exact`: narrower at the start. */
  readonly limits: 'late' | 'exact'
}

export interface Ewma {
  readonly averages: readonly number[]
  readonly upper: readonly number[]
  readonly lower: readonly number[]
  /** Places (from 0) at which the average is beyond a limit. */
  readonly signals: readonly number[]
  readonly constants: EwmaSettings
}

/**
 * Exponentially weighted moving average from the centre on: λ · value + (1 − λ) · average before; limits
 * ± width · σ · √(λ/(2 − λ) · (1 − (1 − λ)^(2t))), the last factor left out for `late` (NIST/SEMATECH e-Handbook, 6.3.2.4).
 *
 * @throws RangeError for a value or a setting that is not finite, or a setting out of its range.
 */
export function ewma(values: readonly number[], settings: EwmaSettings): Ewma {
  const { centre, sigma, lambda, width, limits } = settings
  if (!(Number.isFinite(centre) && sigma >= 0 && sigma < Infinity))
    throw new RangeError(`no EWMA has centre ${centre} and sigma ${sigma}`)
  if (!(lambda > 0 && lambda <= 1 && width > 0 && width < Infinity))
    throw new RangeError(`no EWMA has lambda ${lambda} and width ${width}`)
  if (!values.every(Number.isFinite)) throw new RangeError('an EWMA takes finite values')
  let average = centre
  const averages = values.map((value) => {
    average = lambda * value + (1 - lambda) * average
    return average
  })
  const reach = values.map((_, i) => {
    const settled = limits === 'late' ? 1 : 1 - (1 - lambda) ** (2 * (i + 1))
    return width * sigma * Math.sqrt((lambda / (2 - lambda)) * settled)
  })
  const isSignal = (own: number, place: number) => Math.abs(own - centre) > (reach[place] ?? 0)
  return {
    averages,
    upper: reach.map((own) => centre + own),
    lower: reach.map((own) => centre - own),
    signals: averages.flatMap((own, i) => (isSignal(own, i) ? [i] : [])),
    constants: settings,
  }
}
