/** A second-order filter in the transposed direct form II, with what it remembers: plain data. */
export interface Biquad {
  b0: number
  b1: number
  b2: number
  a1: number
  a2: number
  first: number
  second: number
}

/**
 * Butterworth low-pass of second order, Q = 1/√2: R. Bristow-Johnson, "Cookbook formulae for audio equalizer
 * biquad filter coefficients", LPF. At `cutoffHz` 1/√2 of the amplitude is left; at rest it passes all.
 */
export function lowPassBiquad(cutoffHz: number, rateHz: number): Biquad {
  const angle = (2 * Math.PI * cutoffHz) / rateHz
  const cosine = Math.cos(angle)
  return biquad(angle, Math.SQRT1_2, (1 - cosine) / 2, 1 - cosine)
}

/** Notch after the same source: nothing is left at `centreHz`, 1/√2 about half of `widthHz` to either side. */
export function notchBiquad(centreHz: number, widthHz: number, rateHz: number): Biquad {
  const angle = (2 * Math.PI * centreHz) / rateHz
  return biquad(angle, centreHz / widthHz, 1, -2 * Math.cos(angle))
}

/** Both have equal outer coefficients in the numerator and the cookbook's denominator. */
function biquad(angle: number, q: number, outer: number, middle: number): Biquad {
  const alpha = Math.sin(angle) / (2 * q)
  const a0 = 1 + alpha
  return {
    b0: outer / a0,
    b1: middle / a0,
    b2: outer / a0,
    a1: (-2 * Math.cos(angle)) / a0,
    a2: (1 - alpha) / a0,
    first: 0,
    second: 0,
  }
}

/** As if it had been given this value for ever: both sorts pass what stands still. */
export function settleBiquad(filter: Biquad, value: number): void {
  filter.first = value * (1 - filter.b0)
  filter.second = value * (filter.b2 - filter.a2)
}

export function stepBiquad(filter: Biquad, value: number): number {
  const out = filter.b0 * value + filter.first
  filter.first = filter.b1 * value - filter.a1 * out + filter.second
  filter.second = filter.b2 * value - filter.a2 * out
  return out
}
