import { aimFor } from './aim.ts'
import type { Material } from './materials.ts'
import {
  bendingMomentNmm,
  releasedRadiusMm,
  secondMomentMm4,
  springbackSlope,
  type TubeOnDie,
} from './section.ts'
import { type SectionEstimates, sectionEstimates } from './section-estimates.ts'
import type { StressStrainLaw } from './section-law.ts'
import { type SectionWarning, sectionWarnings } from './section-warnings.ts'
import { coefficientsOf, priorFor } from './springback.ts'
import { predictSpringback } from './springback-prediction.ts'

/** What holds of a tube on a die whatever is known of its metal besides the law. */
interface SectionFacts {
  readonly secondMomentMm4: number
  readonly momentNm: number
  /** Share of the bend that comes back. */
  readonly slope: number
  /** Fractions, foretold from the dimensions alone. */
  readonly estimates: SectionEstimates
  readonly warnings: readonly SectionWarning[]
}

/** A first bend, foretold. Degrees and mm; null where the tube takes no set, and `note` says so. */
export interface FirstBend extends SectionFacts {
  readonly interceptDeg: number
  readonly loadedDeg: number | null
  readonly springbackDeg: number | null
  /** 95 % interval of the springback; only a material with a spread has one. */
  readonly lowDeg: number | null
  readonly highDeg: number | null
  readonly releasedRadiusMm: number | null
  readonly note: string | null
}

/** @throws DomainError naming the dimension or constant that cannot be. */
export const sectionFacts = (
  tube: TubeOnDie,
  law: StressStrainLaw,
  slope: number,
): SectionFacts => ({
  secondMomentMm4: secondMomentMm4(tube),
  momentNm: bendingMomentNmm(tube, law) / 1000,
  slope,
  estimates: sectionEstimates(tube),
  warnings: sectionWarnings(tube, slope),
})

/**
 * The first bend of a set-up whose metal was never bent before: the mechanics with the material's
 * spread, straight legs and machine.
 *
 * @throws DomainError of the tube, or `WANTED_ANGLE`
 */
export function foretellFirstBend(
  tube: TubeOnDie,
  material: Material,
  wantedDeg: number,
): FirstBend {
  const prior = priorFor(tube, material)
  const aim = aimFor(prior, wantedDeg)
  const loadedDeg = aim.commandedDeg
  const expected = loadedDeg === null ? null : predictSpringback(prior, loadedDeg)
  const slope = springbackSlope(tube, material.law, material.unloadingFactor)
  return {
    ...sectionFacts(tube, material.law, slope),
    interceptDeg: coefficientsOf(prior).interceptDeg,
    loadedDeg,
    springbackDeg: expected?.springbackDeg ?? null,
    lowDeg: expected?.lowDeg ?? null,
    highDeg: expected?.highDeg ?? null,
    releasedRadiusMm: expected ? releasedRadiusMm(tube.clrMm, slope) : null,
    note: loadedDeg === null ? aim.why : null,
  }
}
