import { legSpringbackDeg } from './section-estimates.ts'

/**
 * Straight length beside the bend over which the moment falls away, mm: what a pressure block covers. It is
 * the bender's and not the die's, since one slide takes the blocks of all dies. Blocks cover 50 to 150 mm;
 * spread evenly, that is a standard deviation of 0.3 of the middle. (Judgement, no source.)
 */
export const LEG_MM = 100
const LEG_SPREAD = 0.3

/**
 * Variances of what frame, play and the zero give beside the legs, degrees²: 0.12° that the whole shop has in
 * common, 0.2° of the die on its bender, 0.165° of the single set-up. (Judgement, no source.)
 */
export const BESIDE_LEGS = {
  shopVariance: 0.12 ** 2,
  dieVariance: 0.2 ** 2,
  setupVariance: 0.165 ** 2,
}

/** What is believed of a before the first bend; see `springback.ts` for the law. */
export interface InterceptPrior {
  /**
   * Degrees of a for a slope of 1. Legs and arc bend back under the same moment, by M/(E·I), so a tube that
   * springs a tenth more on the arc does so on the legs: a = perSlopeDeg·b + α, and only α is of its own.
   */
  readonly perSlopeDeg: number
  /** Of α, whose middle is 0: how long the leg truly is, times what it gives. Degrees². */
  readonly legVariance: number
}

/** @param slope Predicted by the section's mechanics. */
export const interceptPrior = (slope: number, clrMm: number): InterceptPrior => ({
  perSlopeDeg: legSpringbackDeg(1, clrMm, LEG_MM),
  legVariance: (LEG_SPREAD * legSpringbackDeg(slope, clrMm, LEG_MM)) ** 2,
})

/** Of α where nothing is shared, degrees². */
export const wholeVariance = ({ legVariance }: Pick<InterceptPrior, 'legVariance'>): number =>
  BESIDE_LEGS.shopVariance + BESIDE_LEGS.dieVariance + legVariance + BESIDE_LEGS.setupVariance
