import { NO_SET_SENTENCE, NO_SET_SLOPE } from './aim.ts'
import { LEG_MM } from './leg-prior.ts'
import type { TubeOnDie } from './section.ts'
import { legSpringbackDeg, type SectionEstimates, sectionEstimates } from './section-estimates.ts'

/** Stable: scripts may rely on it. */
type SectionWarningCode =
  | 'no-set'
  | 'slight-set'
  | 'thin-outside'
  | 'flattens'
  | 'collapses'
  | 'legs'

/** A trouble that the numbers foretell: one plain sentence, and what it rests on. */
export interface SectionWarning {
  readonly code: SectionWarningCode
  readonly sentence: string
  readonly source: string
}

const PRACTICE = 'common practice, no source'

/**
 * From here on the yield stress's error is felt: 10 % of yield moves the slope by 8 %, since
 * d ln b/d ln Y is 0.8 for a hardening tube (computed; tests/outside/section-formulas.test.ts).
 */
const SLIGHT_SET_SLOPE = 0.15
const SLOPE_PER_YIELD = 0.8

/** Stretch of the outside at a radius of two diameters, the least for plain die and block. */
const TIGHT_STRETCH = 0.25

/** Five per cent shows to the eye; eight is what piping takes. */
const FLATTENED = 0.05
const COLLAPSED = 0.08
const OVALITY_SOURCE = `${PRACTICE}; 8 %: ASME B31.3, 332.2.1, internal pressure, from memory`

/**
 * Legs that give more than this, by blocks that may be a third longer or shorter, put half a degree in doubt
 * before the first bend.
 */
const LEGS_TELL_DEG = 1.3

const percent = (fraction: number) => `${(100 * fraction).toFixed(0)} %`

function ofSet(slope: number): readonly SectionWarning[] {
  if (!(slope < NO_SET_SLOPE))
    return [
      {
        code: 'no-set',
        sentence: NO_SET_SENTENCE,
        source: 'elastic–plastic bending, b = M·R/(E·I)',
      },
    ]
  if (!(slope >= SLIGHT_SET_SLOPE)) return []
  const moreDeg = (90 * 0.1 * SLOPE_PER_YIELD * slope).toFixed(1)
  const sentence =
    `About ${percent(slope)} of the bend comes back, so a tube that yields 10 % higher ` +
    `stands ${moreDeg}° further open at 90° (estimate).`
  const source = 'sensitivity of b to the yield stress, computed'
  return [{ code: 'slight-set', sentence, source }]
}

function ofStretch({
  outerStretch,
  thinningLow,
  thinningHigh,
}: SectionEstimates): readonly SectionWarning[] {
  if (!(outerStretch > TIGHT_STRETCH)) return []
  const thinning = `${(100 * thinningLow).toFixed(0)} to ${percent(thinningHigh)}`
  const sentence =
    `The radius is under two diameters: the outside is stretched by ${percent(outerStretch)} ` +
    `and its wall thins by about ${thinning} (estimate).`
  const source = `volume constancy, standard plasticity; two diameters: ${PRACTICE}`
  return [{ code: 'thin-outside', sentence, source }]
}

function ofOvality({ ovality }: SectionEstimates): readonly SectionWarning[] {
  if (!(ovality > FLATTENED)) return []
  if (ovality > COLLAPSED) {
    const sentence =
      'The wall is too thin for this radius without a mandrel: ' +
      `the tube would flatten by ${percent(ovality)} or kink (estimate).`
    return [{ code: 'collapses', sentence, source: OVALITY_SOURCE }]
  }
  const sentence =
    `Without a mandrel the tube flattens by about ${percent(ovality)} ` +
    'of its diameter (estimate).'
  return [{ code: 'flattens', sentence, source: OVALITY_SOURCE }]
}

function ofLegs({ clrMm }: TubeOnDie, slope: number): readonly SectionWarning[] {
  const legsDeg = legSpringbackDeg(slope, clrMm, LEG_MM)
  if (!(legsDeg > LEGS_TELL_DEG)) return []
  const sentence =
    `The straight legs beside the bend may give back ${legsDeg.toFixed(1)}° by themselves: ` +
    'how long the block is decides, and the first bend shows it (estimate).'
  const source = `elastic beam under a triangular moment; ${LEG_MM} mm under the block: judgement`
  return [{ code: 'legs', sentence, source }]
}

/**
 * What to beware of with this tube on this die, most serious first; none for a usual bend. A tube
 * that takes no set gets that one sentence and no other.
 *
 * @param slope Share of the bend that comes back, from `springbackSlope`.
 * @throws DomainError naming the dimension that cannot be.
 */
export function sectionWarnings(tube: TubeOnDie, slope: number): readonly SectionWarning[] {
  const estimates = sectionEstimates(tube)
  const set = ofSet(slope)
  if (set.some(({ code }) => code === 'no-set')) return set
  return [...ofOvality(estimates), ...ofStretch(estimates), ...set, ...ofLegs(tube, slope)]
}
