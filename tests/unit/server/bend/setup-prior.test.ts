import { describe, expect, it } from 'vitest'
import { meanOf, predictAt } from '../../../../server/bend/normal-inverse-gamma.ts'
import { noisePrior, priorOf } from '../../../../server/bend/setup-prior.ts'

describe('noisePrior', () => {
  it('of nothing seen is the first set-up’s: 0.2°, worth six bends', () => {
    const { shape, rate } = noisePrior({ sum: 0, count: 0 })
    expect(shape).toBe(3)
    expect(rate / (shape - 1)).toBeCloseTo(0.04, 12)
  })

  it('follows what others scattered', () => {
    const { shape, rate } = noisePrior({ sum: 1000 * 0.01, count: 1000 })
    expect(rate / (shape - 1)).toBeCloseTo(0.01, 3)
    expect(shape).toBe(12)
  })

  it('is never surer than 24 degrees of freedom', () => {
    expect(noisePrior({ sum: 1e5, count: 1e7 }).shape).toBe(12)
    expect(noisePrior({ sum: 0.16, count: 4 }).shape).toBe(5)
  })
})

describe('priorOf', () => {
  const pair = {
    mean: [0.2, 0.15] as const,
    firstVariance: 0.05,
    covariance: -0.002,
    secondVariance: 0.004,
  }
  const departure = { interceptVariance: 0.02, ratioVariance: 0.0016 }
  const noise = { shape: 3, rate: 0.08 }
  const foretold = { legDeg: 0.5, slope: 0.03 }
  const belief = priorOf(pair, departure, foretold, noise)

  it('has the means of its lot and seat: legs and arc by the ratio, and the intercept beside them', () => {
    const [a, b] = meanOf(belief)
    expect(a).toBeCloseTo(1.15 * 0.5 + 0.2, 12)
    expect(b).toBeCloseTo(0.0345, 12)
  })

  it('and their variances, widened, in units of the noise', () => {
    // predictAt's scale is of rate/shape; the variance of the coefficients of rate/(shape − 1).
    const variance = (row: readonly [number, number]) =>
      (predictAt(belief, row).lineScale ** 2 * 3) / 2
    // Var(α + g·ρ) with g what a ratio of 1 gives at that row.
    const expected = (alpha: number, gives: number) =>
      alpha * alpha * 0.07 + gives * gives * 0.0056 + 2 * alpha * gives * -0.002
    expect(variance([1, 0])).toBeCloseTo(expected(1, 0.5), 12)
    expect(variance([0, 1])).toBeCloseTo(expected(0, 0.03), 12)
    expect(variance([1, 90])).toBeCloseTo(expected(1, 0.5 + 90 * 0.03), 12)
  })
})
