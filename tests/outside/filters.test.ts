import { describe, expect, test } from 'vitest'
import { type Motion, stepMotion } from '../../server/blocks/constant-velocity.ts'
import { spikeGuard } from '../../server/blocks/spike-guard.ts'
import { oneBlock } from '../unit/server/blocks/one-block.ts'

/** Gains at which the filter settles, from the covariance alone: readings of zero change no gain. */
function steadyGains(index: number): { alpha: number; beta: number } {
  const motion: Motion = { deg: 0, degPerS: 0, varDeg: 1, covariance: 0, varDegPerS: 1 }
  for (let step = 0; step < 5000; step++) stepMotion(motion, 0, 1, 1, index)
  // A reading of 1 against an expected 0 moves place and rate by just the gains; at T = 1, β is the rate's.
  stepMotion(motion, 1, 1, 1, index)
  return { alpha: motion.deg, beta: motion.degPerS }
}

/**
 * P. R. Kalata, "The tracking index", IEEE Trans. Aerospace and Electronic Systems AES-20(2), 1984, 174-182:
 * Λ = σw·T²/σv, r = (4 + Λ − √(8Λ + Λ²))/4, α = 1 − r², β = 2(2 − α) − 4√(1 − α). Formulas quoted from memory;
 * Λ 0.1 and 1 have exact decimal answers.
 */
describe("the smoother's gains settle at Kalata's", () => {
  test.each([
    [0.01, 0.131850991273, 0.009317451415],
    [0.1, 0.36, 0.08],
    [0.5, 0.628373457205, 0.304805898399],
    [1, 0.75, 0.5],
    [2, 0.85410196625, 0.7639320225],
    [10, 0.978713763748, 1.458980337503],
  ])('tracking index %d', (index, alpha, beta) => {
    const gains = steadyGains(index)
    expect(gains.alpha).toBeCloseTo(alpha, 10)
    expect(gains.beta).toBeCloseTo(beta, 10)
    const r = (4 + index - Math.sqrt(8 * index + index * index)) / 4
    expect(gains.alpha).toBeCloseTo(1 - r * r, 10)
  })
})

/**
 * A vector computed apart from this project: constant-velocity Kalman filter, T 0.1, σv 0.05, σw 2, x0 = v0 = 0,
 * P0 = diag(1, 10), piecewise-constant white acceleration.
 */
const VECTOR = [
  [0.05, 0.049886632, 0.045438056, 0.002494332],
  [0.12, 0.118307322, 0.666457331, 0.002435463],
  [0.31, 0.288579811, 1.29974683, 0.002071757],
  [0.52, 0.490795956, 1.643926974, 0.001780302],
  [0.68, 0.671084415, 1.71271264, 0.001601662],
  [0.91, 0.88329992, 1.887755122, 0.001513218],
  [1.1, 1.088609342, 1.959228803, 0.00148023],
  [1.08, 1.16409695, 1.434416903, 0.001472082],
  [1.12, 1.197176675, 0.952396754, 0.00147119],
  [1.09, 1.173299884, 0.432212924, 0.001471181],
] as const

test('a constant-velocity Kalman filter over ten readings', () => {
  const motion: Motion = { deg: 0, degPerS: 0, varDeg: 1, covariance: 0, varDegPerS: 10 }
  for (const [reading, deg, degPerS, varDeg] of VECTOR) {
    stepMotion(motion, reading, 0.1, 0.05, 2)
    expect(motion.deg).toBeCloseTo(deg, 8)
    expect(motion.degPerS).toBeCloseTo(degPerS, 8)
    expect(motion.varDeg).toBeCloseTo(varDeg, 8)
  }
})

/** Median of three, computed apart from this project; with its ends repeated, and here one sample late. */
test('the spike guard is a running median of three', () => {
  const given = [10, 10.1, 9.9, 10, 50, 10.1, 10, 9.8, 10.2, -30, 10, 10.1]
  const median = [10, 10, 10, 10, 10.1, 10.1, 10, 10, 9.8, 10, 10, 10.1]
  const out = oneBlock(spikeGuard)
    .feed(given.map((angle, nth) => ({ timeS: nth / 200, angle })))
    .map(({ value }) => value)
  expect(out.slice(2)).toEqual(median.slice(1, -1))
})
