import { cornerStrains, type StressStrainLaw, stressMpa } from './section-law.ts'

/**
 * A section that is symmetric about the neutral axis, given by its width at each distance from it.
 */
export interface SymmetricSection {
  readonly halfDepthMm: number
  readonly widthMm: (distanceMm: number) => number
}

/**
 * Points for each smooth piece. With Hollomon's law the integrand has a root singularity just
 * outside the piece; 64 points still leave less than 1e-9 of the moment (measured against the
 * closed form).
 */
const POINTS = 64

/** Nodes and weights of Gauss–Legendre quadrature on [−1, 1]; Newton from Tricomi's first guess. */
function gaussLegendre(count: number): readonly (readonly [node: number, weight: number])[] {
  return Array.from({ length: count }, (_, k) => {
    let x = Math.cos((Math.PI * (k + 0.75)) / (count + 0.5))
    let slope = 1
    // Quadratic convergence from a guess good to 1e-4: five steps reach the last digit.
    for (let step = 0; step < 5; step++) {
      let before = 1
      let value = x
      for (let n = 2; n <= count; n++)
        [before, value] = [value, ((2 * n - 1) * x * value - (n - 1) * before) / n]
      slope = (count * (x * value - before)) / (x * x - 1)
      x -= value / slope
    }
    return [x, 2 / ((1 - x * x) * slope * slope)] as const
  })
}

const RULE = gaussLegendre(POINTS)

function integrate(f: (x: number) => number, from: number, to: number): number {
  const half = (to - from) / 2
  const middle = (to + from) / 2
  return half * RULE.reduce((sum, [node, weight]) => sum + weight * f(middle + half * node), 0)
}

/**
 * Bending moment in N·mm of any symmetric section held at a radius: stress times distance over its
 * area.
 *
 * Plane sections stay plane and no force pulls along the tube, so strain is distance over radius.
 * Distance = half depth · sin φ takes the square root out of a round section's edge, and the pieces
 * between the law's corners are smooth.
 */
export function momentByQuadratureNmm(
  section: SymmetricSection,
  radiusMm: number,
  law: StressStrainLaw,
): number {
  const { halfDepthMm, widthMm } = section
  const density = (phi: number) => {
    const distanceMm = halfDepthMm * Math.sin(phi)
    const stress = stressMpa(law, distanceMm / radiusMm)
    return stress * distanceMm * widthMm(distanceMm) * halfDepthMm * Math.cos(phi)
  }
  const corners = cornerStrains(law)
    .map((strain) => (strain * radiusMm) / halfDepthMm)
    .filter((sine) => sine < 1)
    .map(Math.asin)
  const ends = [0, ...corners, Math.PI / 2]
  // Both sides of the neutral axis carry the same moment.
  return 2 * ends.slice(1).reduce((sum, to, k) => sum + integrate(density, ends[k] ?? 0, to), 0)
}
