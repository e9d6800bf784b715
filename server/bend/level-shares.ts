import type { NormalInverseGamma } from './normal-inverse-gamma.ts'

/** What the mechanics says of a set-up: degrees that the straight legs give, and the arc's slope. */
export interface Foretold {
  readonly legDeg: number
  readonly slope: number
}

/**
 * What bends say of two unknowns, the ratio ρ (less 1) of what legs and arc give to what is foretold, and
 * the die's intercept α beside it, in degrees: precision and precision·mean.
 */
export interface Evidence {
  readonly interceptPrecision: number
  readonly crossPrecision: number
  readonly ratioPrecision: number
  readonly interceptRight: number
  readonly ratioRight: number
}

/** Variances by which a set-up departs from its die's intercept and its lot's ratio. */
export interface Departure {
  readonly interceptVariance: number
  readonly ratioVariance: number
}

/**
 * What a set-up's own bends say of itself.
 *
 * @param bends Observations alone, from a flat start, in units of the noise.
 * @param foretold From which α and ρ are counted.
 */
export function evidenceOf(
  bends: NormalInverseGamma,
  { legDeg, slope }: Foretold,
  noiseVariance: number,
): Evidence {
  const { r11, r12, r22, z1, z2 } = bends
  // ρ moves legs and arc together.
  const first = r11 * legDeg + r12 * slope
  const second = r22 * slope
  const off1 = z1 - first
  const off2 = z2 - second
  return {
    interceptPrecision: (r11 * r11) / noiseVariance,
    crossPrecision: (r11 * first) / noiseVariance,
    ratioPrecision: (first * first + second * second) / noiseVariance,
    interceptRight: (r11 * off1) / noiseVariance,
    ratioRight: (first * off1 + second * off2) / noiseVariance,
  }
}

/** The same of its die and lot: (J⁻¹ + W)⁻¹, in the form that one bend, a J without inverse, has too. */
export function widened(of: Evidence, { interceptVariance, ratioVariance }: Departure): Evidence {
  const { interceptPrecision: p, crossPrecision: c, ratioPrecision: q } = of
  // I + WJ, row by row, and its determinant.
  const a11 = 1 + interceptVariance * p
  const a12 = interceptVariance * c
  const a21 = ratioVariance * c
  const a22 = 1 + ratioVariance * q
  const scale = 1 / (a11 * a22 - a12 * a21)
  return {
    interceptPrecision: (p * a22 - c * a21) * scale,
    crossPrecision: (c * a11 - p * a12) * scale,
    ratioPrecision: (q * a11 - c * a12) * scale,
    interceptRight: (a22 * of.interceptRight - a21 * of.ratioRight) * scale,
    ratioRight: (a11 * of.ratioRight - a12 * of.interceptRight) * scale,
  }
}
