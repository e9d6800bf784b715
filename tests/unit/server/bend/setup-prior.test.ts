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
  const belief = priorOf(pair, departure, 0.03, noise)

  it('has the means of its lot and seat', () => {
    const [a, b] = meanOf(belief)
    expect(a).toBeCloseTo(0.7, 12)
    expect(b).toBeCloseTo(0.0345, 12)
  })

  it('and their variances, widened, in units of the noise', () => {
    // predictAt's scale is of rate/shape; the variance of the coefficients of rate/(shape − 1).
    const variance = (row: readonly [number, number]) =>
      (predictAt(belief, row).lineScale ** 2 * 3) / 2
    expect(variance([1, 0])).toBeCloseTo(0.07, 12)
    expect(variance([0, 1])).toBeCloseTo(0.0009 * 0.0056, 12)
    const both = 0.07 + 0.0009 * 0.0056 * 8100 + 2 * 90 * 0.03 * -0.002
    expect(variance([1, 90])).toBeCloseTo(both, 12)
  })
})
