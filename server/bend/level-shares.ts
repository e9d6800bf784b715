import type { NormalInverseGamma } from './normal-inverse-gamma.ts'

/**
 * What bends say of two unknowns, the die's intercept α (degrees off its prior mean) and the ratio ρ
 * of observed to predicted slope (less 1): precision and precision·mean.
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
 * @param prior Intercept and slope from which α and ρ are counted.
 */
export function evidenceOf(
  bends: NormalInverseGamma,
  prior: { readonly interceptDeg: number; readonly slope: number },
  noiseVariance: number,
): Evidence {
  const { r11, r12, r22, z1, z2 } = bends
  const { interceptDeg, slope } = prior
  const off1 = z1 - r11 * interceptDeg - r12 * slope
  const off2 = z2 - r22 * slope
  return {
    interceptPrecision: (r11 * r11) / noiseVariance,
    crossPrecision: (slope * r11 * r12) / noiseVariance,
    ratioPrecision: (slope * slope * (r12 * r12 + r22 * r22)) / noiseVariance,
    interceptRight: (r11 * off1) / noiseVariance,
    ratioRight: (slope * (r12 * off1 + r22 * off2)) / noiseVariance,
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
