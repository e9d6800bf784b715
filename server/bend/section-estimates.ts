import { secondMomentMm4, type TubeOnDie } from './section.ts'

/**
 * What a bend does to the tube's section, foretold from dimensions alone. Estimates, not
 * measurements: a mandrel, the groove's fit and the pressure of the block change all but the
 * stretch. Fractions, dimensionless.
 */
export interface SectionEstimates {
  /** Centreline radius over outside diameter. */
  readonly radiusRatio: number
  /** Outside diameter over wall; 2 for a solid bar. */
  readonly wallRatio: number
  /**
   * Stretch of the outermost fibre, D/(2R). Plane sections stay plane: standard bending theory.
   */
  readonly outerStretch: number
  /**
   * How much thinner the wall becomes on the outside. Metal that flows keeps its volume: 1/√(1 + e)
   * of the wall is left where the tube may shrink around (low), 1/(1 + e) where the groove holds
   * its girth (high). Volume constancy, standard plasticity.
   */
  readonly thinningLow: number
  readonly thinningHigh: number
  /**
   * (Largest − smallest diameter)/D without a mandrel: 0.5 % of D²/(t·R). The group is that of a
   * ring of the wall pressed flat by the pull and push along the bend, whose load is σ·t/R and
   * whose strength σ·t²/4. The 0.5 % is common practice, no source: 3 to 5 % on 38.1 × 1.65 mm at
   * three diameters.
   */
  readonly ovality: number
}

const OVALITY_PER_UNIT = 0.005

/** @throws DomainError naming the dimension that cannot be. */
export function sectionEstimates(tube: TubeOnDie): SectionEstimates {
  // Refuses what no tube can be, with the same sentences as the mechanics.
  secondMomentMm4(tube)
  const { odMm, wallMm, clrMm } = tube
  const outerStretch = odMm / (2 * clrMm)
  return {
    radiusRatio: clrMm / odMm,
    wallRatio: odMm / wallMm,
    outerStretch,
    thinningLow: 1 - 1 / Math.sqrt(1 + outerStretch),
    thinningHigh: 1 - 1 / (1 + outerStretch),
    ovality: Math.min(1, (OVALITY_PER_UNIT * odMm * odMm) / (wallMm * clrMm)),
  }
}

/**
 * Degrees that a straight leg gives back beside the bent arc. The moment falls from M at the
 * tangent to 0 at the far end of the block, so the leg turns back by M·L/(2·E·I) = b·L/(2R).
 *
 * Source: elastic beam under a triangular moment, standard theory.
 *
 * @param legMm Length over which the moment falls away.
 */
export function legSpringbackDeg(slope: number, clrMm: number, legMm: number): number {
  return ((180 / Math.PI) * slope * legMm) / (2 * clrMm)
}
