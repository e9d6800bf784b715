import type { Departure } from './level-shares.ts'
import { LOT_VARIANCE } from './lot-spread.ts'
import type { Material } from './materials.ts'
import { PRIOR } from './springback.ts'

/** A set-up's slope departs by 4 % from its lot's on another die or size (judgement, no source). */
const SETUP_RATIO_VARIANCE = 0.04 ** 2

/**
 * The intercept's 0.4° in four parts: what the shop has in common (how zero is set), the die on its
 * station, the die with a material (leg and frame give way with the moment), and the rest. Judgement.
 */
const SHOP_INTERCEPT_VARIANCE = 0.12 ** 2
const DIE_INTERCEPT_VARIANCE = 0.2 ** 2
const SEAT_INTERCEPT_VARIANCE = 0.28 ** 2
const WHOLE_INTERCEPT_VARIANCE = PRIOR.interceptSdDeg ** 2

/** However little is said of a material's spread, a shop's lots may lie beside its prediction. */
const MATERIAL_VARIANCE_MIN = 0.03 ** 2

export const LEVEL_SPREADS = {
  shopInterceptVariance: SHOP_INTERCEPT_VARIANCE,
  dieInterceptVariance: DIE_INTERCEPT_VARIANCE,
  seatInterceptVariance: SEAT_INTERCEPT_VARIANCE,
}

/**
 * What is left of the first lot's spread for the material itself: the parts add up to the whole, so
 * that the first set-up of a shop starts as the section's mechanics alone would have it.
 */
export const materialVarianceOf = ({ slopeSpread }: Pick<Material, 'slopeSpread'>): number =>
  Math.max(MATERIAL_VARIANCE_MIN, slopeSpread * slopeSpread - LOT_VARIANCE - SETUP_RATIO_VARIANCE)

/** An ordinary set-up; `alone` where its seat is past the limit and shares nothing. */
export const departureOf = (alone: boolean): Departure => ({
  interceptVariance: alone
    ? WHOLE_INTERCEPT_VARIANCE
    : WHOLE_INTERCEPT_VARIANCE -
      SHOP_INTERCEPT_VARIANCE -
      DIE_INTERCEPT_VARIANCE -
      SEAT_INTERCEPT_VARIANCE,
  ratioVariance: SETUP_RATIO_VARIANCE,
})

/** After a drift: as far from before as two lots are from each other, or as a die put in anew. */
export const departureAfterDrift = (usual: Departure, lotVariance: number): Departure => ({
  interceptVariance: usual.interceptVariance + DIE_INTERCEPT_VARIANCE,
  ratioVariance: usual.ratioVariance + 2 * lotVariance,
})
