import { BESIDE_LEGS, type InterceptPrior, wholeVariance } from './leg-prior.ts'
import type { Departure } from './level-shares.ts'
import { LOT_VARIANCE } from './lot-spread.ts'
import type { Material } from './materials.ts'

/** A set-up's slope departs by 4 % from its lot's on another die or size (judgement, no source). */
const SETUP_RATIO_VARIANCE = 0.04 ** 2

/** However little is said of a material's spread, a shop's lots may lie beside its prediction (judgement, no source). */
const MATERIAL_VARIANCE_MIN = 0.03 ** 2

export const LEVEL_SPREADS = {
  shopInterceptVariance: BESIDE_LEGS.shopVariance,
  dieInterceptVariance: BESIDE_LEGS.dieVariance,
}

/**
 * What is left of the first lot's spread for the material itself: the parts add up to the whole, so
 * that the first set-up of a shop starts as the section's mechanics alone would have it.
 */
export const materialVarianceOf = ({ slopeSpread }: Pick<Material, 'slopeSpread'>): number =>
  Math.max(MATERIAL_VARIANCE_MIN, slopeSpread * slopeSpread - LOT_VARIANCE - SETUP_RATIO_VARIANCE)

/** An ordinary set-up; `alone` where its seat is past the limit and shares nothing. */
export const departureOf = (
  intercept: Pick<InterceptPrior, 'legVariance'>,
  alone: boolean,
): Departure => ({
  interceptVariance: alone ? wholeVariance(intercept) : BESIDE_LEGS.setupVariance,
  ratioVariance: SETUP_RATIO_VARIANCE,
})

/** After a drift: as far from before as two lots are from each other, or as a die put in anew. */
export const departureAfterDrift = (usual: Departure, lotVariance: number): Departure => ({
  interceptVariance: usual.interceptVariance + BESIDE_LEGS.dieVariance,
  ratioVariance: usual.ratioVariance + 2 * lotVariance,
})
