import { type Levels, logLikelihoodOf } from './levels.ts'

/**
 * Relative spread of the springback slope between lots of one material, until the shop has shown its own.
 * Yield varies by 5 to 8 % within a grade and mill and by 10 to 12 % over mills (from memory), and the slope
 * by 0.8 of that (computed; tests/outside/section-formulas.test.ts): 7 % is judgement.
 */
const USUAL_SPREAD = 0.07
export const LOT_VARIANCE = USUAL_SPREAD ** 2

/** With fewer lots than this, a spread estimated from them says less than the usual one. */
const LOTS_MIN = 8
/** Reviewed again when there are a quarter more: all reviews together cost five times the last. */
const GROWTH = 1.25

/** At how many lots the spread is to be estimated next. */
export const nextReview = (lots: number): number =>
  lots < LOTS_MIN ? LOTS_MIN : Math.ceil(lots * GROWTH)

/** Spreads that are compared: 1.5 to 25 %, each 1.22 times the one before. */
const GRID = Array.from({ length: 15 }, (_, k) => 0.015 * 1.22 ** k)
/** How firmly the usual spread is held: by a factor of 1.6 either way, as about four lots would. */
const LOG_PRIOR_SD = 0.5

/**
 * Variance between lots, from the shop's own history: the mean over a grid, each spread weighed by
 * its likelihood and by how usual it is.
 *
 * Source: empirical Bayes by the marginal likelihood (type II), Gelman et al., Bayesian Data Analysis,
 * ch. 5; from memory. A maximum alone would jump, and fall to 0 with few lots.
 */
export function estimateLotVariance(levels: Levels): number {
  const logs = GRID.map((spread) => {
    const far = Math.log(spread / USUAL_SPREAD) / LOG_PRIOR_SD
    return logLikelihoodOf(levels, spread * spread) - (far * far) / 2
  })
  const most = Math.max(...logs)
  let weights = 0
  let sum = 0
  logs.forEach((log, k) => {
    const weight = Math.exp(log - most)
    weights += weight
    sum += weight * (GRID[k] as number) ** 2
  })
  return sum / weights
}
