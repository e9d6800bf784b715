import { DomainError } from './errors.ts'
import { checkLaw, cornerStrains, type StressStrainLaw } from './section-law.ts'
import { momentByQuadratureNmm } from './section-quadrature.ts'

/** A round tube on a die; a wall of half the outside diameter is a solid bar. Lengths in mm. */
export interface TubeOnDie {
  readonly odMm: number
  readonly wallMm: number
  readonly clrMm: number
}

/** @throws DomainError naming the dimension that cannot be. */
function checkTube({ odMm, wallMm, clrMm }: TubeOnDie): void {
  if (!(odMm > 0 && odMm < Infinity)) throw new DomainError('TUBE_OD', { odMm })
  if (!(wallMm > 0 && wallMm <= odMm / 2)) throw new DomainError('TUBE_WALL', { odMm, wallMm })
  if (!(clrMm >= odMm / 2 && clrMm < Infinity)) throw new DomainError('DIE_RADIUS', { odMm, clrMm })
}

/**
 * Second moment of area, π/4·(ro⁴ − ri⁴), in mm⁴.
 *
 * Written as a product so that a thin wall does not cancel.
 */
export function secondMomentMm4(tube: TubeOnDie): number {
  checkTube(tube)
  const outerMm = tube.odMm / 2
  const innerMm = outerMm - tube.wallMm
  const squares = outerMm * outerMm + innerMm * innerMm
  return (Math.PI / 4) * tube.wallMm * (outerMm + innerMm) * squares
}

/**
 * Moment of a solid circle, elastic–perfectly plastic, in N·mm.
 *
 *     M = Y·r³·( (asin u − u·q·(1 − 2u²))/(2u) + (4/3)·q³ ),   u = R·Y/(E·r),   q = √(1 − u²)
 *
 * u is the elastic core's share of the radius. The difference in the first term loses digits as
 * u → 0, but of a term that vanishes with u²: the sum stays good to the last few digits.
 */
function circleMomentNmm(radiusMm: number, coreMm: number, yieldMpa: number): number {
  const cubeMm3 = radiusMm ** 3
  const u = coreMm / radiusMm
  if (!(u < 1)) return (yieldMpa * Math.PI * cubeMm3) / (4 * u)
  const q = Math.sqrt((1 - u) * (1 + u))
  const core = (Math.asin(u) - u * q * (1 - 2 * u * u)) / (2 * u)
  return yieldMpa * cubeMm3 * (core + (4 / 3) * q ** 3)
}

/** A tube is an outer circle less an inner one, since stress does not know of the hole. */
function annulus(tube: TubeOnDie, circle: (radiusMm: number) => number): number {
  const outerMm = tube.odMm / 2
  const innerMm = outerMm - tube.wallMm
  return circle(outerMm) - (innerMm > 0 ? circle(innerMm) : 0)
}

/**
 * Bending moment in N·mm that holds the tube at the die's radius.
 *
 * Bilinear: closed form, from σ = Et·ε + (1 − Et/E)·(perfectly plastic σ). Power: quadrature. The
 * difference of two circles costs a factor of about D/(6t) in rounding: 1e-12 at D/t = 2000.
 *
 * @throws DomainError for a dimension or constant out of range.
 *
 * Source: plastic bending of beams, standard theory; stress resultant over an annulus.
 */
export function bendingMomentNmm(tube: TubeOnDie, law: StressStrainLaw): number {
  checkTube(tube)
  checkLaw(law)
  const { clrMm } = tube
  if (law.kind === 'power')
    return annulus(tube, (radiusMm) => {
      const widthMm = (y: number) => 2 * Math.sqrt(Math.max(0, (radiusMm - y) * (radiusMm + y)))
      return momentByQuadratureNmm({ halfDepthMm: radiusMm, widthMm }, clrMm, law)
    })
  const { modulusMpa, yieldMpa, tangentModulusMpa } = law
  const coreMm = (clrMm * yieldMpa) / modulusMpa
  const plasticNmm = annulus(tube, (radiusMm) => circleMomentNmm(radiusMm, coreMm, yieldMpa))
  const hardeningNmm = (tangentModulusMpa * secondMomentMm4(tube)) / clrMm
  return hardeningNmm + (1 - tangentModulusMpa / modulusMpa) * plasticNmm
}

/**
 * Fraction b of the bend that comes back, b = M·R/(Eᵤ·I), 0 < b ≤ 1; exactly 1 when nothing yields.
 *
 * On letting off, the moment comes off elastically and the arc keeps its length, so the angle
 * shrinks by M·R/(Eᵤ·I). Metal that has flowed unloads along a lower modulus than it was loaded
 * with.
 *
 * @param unloadingFactor Eᵤ/E after the strain of a bend, in (0, 1]. A tube that yields hardly at
 *   all keeps E; there the result is capped at 1, and no such tube is worth bending.
 * @throws DomainError for a dimension or constant out of range.
 */
export function springbackSlope(
  tube: TubeOnDie,
  law: StressStrainLaw,
  unloadingFactor: number,
): number {
  if (!(unloadingFactor > 0 && unloadingFactor <= 1))
    throw new DomainError('UNLOADING_FACTOR', { unloadingFactor })
  const momentNmm = bendingMomentNmm(tube, law)
  const elasticStrain = cornerStrains(law)[0] ?? 0
  if (tube.odMm / 2 <= elasticStrain * tube.clrMm) return 1
  const stiffnessNmm2 = unloadingFactor * law.modulusMpa * secondMomentMm4(tube)
  return Math.min(1, (momentNmm * tube.clrMm) / stiffnessNmm2)
}

/** Centreline radius in mm after letting off, R/(1 − b); infinite for b = 1, a straight tube. */
export function releasedRadiusMm(radiusMm: number, slope: number): number {
  return radiusMm / (1 - slope)
}
