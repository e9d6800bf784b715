import { describe, expect, it } from 'vitest'
import { aimFor } from '../../server/bend/aim.ts'
import { beliefFrom, meanOf, observe, predictAt } from '../../server/bend/normal-inverse-gamma.ts'
import { secondGoDeg } from '../../server/bend/second-go.ts'
import type { SpringbackModel } from '../../server/bend/springback.ts'
import { predictSpringback } from '../../server/bend/springback-prediction.ts'
import learning from './data/learning.json' with { type: 'json' }

const { prior, loadedDeg, springbackDeg, after, tolerance } = learning.normalInverseGamma
const [a0, b0] = prior.mean as [number, number]
const [p1, p2] = prior.precision as [number, number]

/** The published vector is of the straight line a + b·θ: its regressor is (1, θ). */
function straightLineAfter(bends: number): SpringbackModel {
  const start = beliefFrom({
    mean: [a0, b0],
    precision: [p1, p2],
    shape: prior.shape,
    rate: prior.rate,
  })
  const belief = loadedDeg
    .slice(0, bends)
    .reduce((held, x, k) => observe(held, [1, x], springbackDeg[k]!), start)
  return { belief, bends }
}

describe(`learning against: ${learning.source}`, () => {
  it.each([0, 1, 2, 5] as const)('after %d bends', (bends) => {
    const expected = after[`${bends}`]
    const { belief } = straightLineAfter(bends)
    const [a, b] = meanOf(belief)
    const next = predictAt(belief, [1, 93])
    expect(Math.abs(a - expected.a)).toBeLessThan(tolerance)
    expect(Math.abs(b - expected.b)).toBeLessThan(tolerance / 100)
    expect(Math.abs(next.mean - expected.predictAt93)).toBeLessThan(tolerance)
    expect(Math.abs(next.scale - expected.scale)).toBeLessThan(tolerance)
    expect(next.degreesOfFreedom).toBe(expected.df)
  })

  it('shape and rate after five', () => {
    const { belief } = straightLineAfter(5)
    expect(belief.shape).toBe(after['5'].shape)
    expect(Math.abs(belief.rate - after['5'].rate)).toBeLessThan(1e-8)
  })

  it('standard deviation of a and b after five', () => {
    // cov = rate/(shape − 1)·Λ⁻¹; the same script: 0.126126 and 0.00162763.
    const { belief } = straightLineAfter(5)
    const widen = Math.sqrt(belief.shape / (belief.shape - 1))
    expect(predictAt(belief, [1, 0]).lineScale * widen).toBeCloseTo(0.126126, 6)
    expect(predictAt(belief, [0, 1]).lineScale * widen).toBeCloseTo(0.00162763, 8)
  })

  it('90 % interval after five is 3.106517 to 3.668249', () => {
    // t(0.95, 11) = 1.795884819, scipy.
    const { mean, scale } = predictAt(straightLineAfter(5).belief, [1, 93])
    expect(mean - 1.795884819 * scale).toBeCloseTo(3.106517, 5)
    expect(mean + 1.795884819 * scale).toBeCloseTo(3.668249, 5)
  })
})

describe('aim for 90°: P(over) = 1/(1 + loss ratio)', () => {
  const { lossRatioOverToUnder, afterNone, afterFive, tolerance: aimTolerance } = learning.aimFor90
  const cases = lossRatioOverToUnder.flatMap((ratio, k) => [
    { bends: 0, ratio, expected: afterNone[k] ?? null },
    { bends: 5, ratio, expected: afterFive[k] ?? null },
  ])
  for (const { bends, ratio, expected } of cases)
    if (expected !== null)
      it(`after ${bends} bends at ratio ${ratio}: ${expected}°`, () => {
        const aim = aimFor(straightLineAfter(bends), 90, { overToUnderLoss: ratio })
        expect(Math.abs((aim.commandedDeg ?? Number.NaN) - expected)).toBeLessThan(aimTolerance)
      })
})

it('second go from the tube’s own springback', () => {
  const { firstLoadedDeg, firstReleasedDeg, wantedDeg, b, secondLoadedDeg } = learning.secondGo
  const go = { peakDeg: firstLoadedDeg, releasedDeg: firstReleasedDeg }
  expect(secondGoDeg(go, wantedDeg, b)).toBeCloseTo(secondLoadedDeg, 6)
})

describe('95 % intervals use Student’s t (NIST/SEMATECH e-Handbook 1.3.6.7.2, from memory)', () => {
  it.each([
    [6, 2.447],
    [7, 2.365],
    [8, 2.306],
    [10, 2.228],
    [15, 2.131],
    [20, 2.086],
    [30, 2.042],
    [60, 2.0],
    [120, 1.98],
  ])('%d degrees of freedom: %d', (df, t) => {
    const belief = beliefFrom({
      mean: [a0, b0],
      precision: [p1, p2],
      shape: df / 2,
      rate: 0.1,
    })
    const { springbackDeg: middle, highDeg, scaleDeg } = predictSpringback({ belief, bends: 0 }, 90)
    expect((highDeg - middle) / scaleDeg).toBeCloseTo(t, 3)
  })
})
