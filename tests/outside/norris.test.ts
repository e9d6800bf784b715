import { linearRegression } from 'simple-statistics'
import { describe, expect, it } from 'vitest'
import { beliefFrom, meanOf, observe, predictAt } from '../../server/bend/normal-inverse-gamma.ts'
import norris from './data/nist-norris.json' with { type: 'json' }

/** Decimal digits that agree with a certified value: −log10 of the relative difference. */
const digits = (actual: number, certified: number) =>
  -Math.log10(Math.abs(actual - certified) / Math.abs(certified))

/** A flat prior makes the update classical least squares. */
const FLAT = { mean: [0, 0], precision: [0, 0], shape: -1, rate: 0 } as const

function regress(xs: readonly number[], ys: readonly number[]) {
  return xs.reduce((belief, x, k) => observe(belief, [1, x], ys[k]!), beliefFrom(FLAT))
}

describe(norris.source, () => {
  const belief = regress(norris.x, norris.y)
  const [intercept, slope] = meanOf(belief)

  it('intercept and slope to 11 digits', () => {
    expect(digits(intercept, norris.intercept)).toBeGreaterThan(11)
    expect(digits(slope, norris.slope)).toBeGreaterThan(11)
  })

  it('residual standard deviation to 11 digits', () => {
    const residualSd = Math.sqrt(belief.rate / belief.shape)
    expect(digits(residualSd, norris.residualSd)).toBeGreaterThan(11)
  })

  it('standard errors of both coefficients to 11 digits', () => {
    expect(digits(predictAt(belief, [1, 0]).lineScale, norris.interceptSd)).toBeGreaterThan(11)
    expect(digits(predictAt(belief, [0, 1]).lineScale, norris.slopeSd)).toBeGreaterThan(11)
  })

  it('degrees of freedom are n − 2', () => {
    expect(predictAt(belief, [1, 500]).degreesOfFreedom).toBe(norris.x.length - 2)
  })

  it('R² to 11 digits', () => {
    const mean = norris.y.reduce((sum, y) => sum + y, 0) / norris.y.length
    const total = norris.y.reduce((sum, y) => sum + (y - mean) ** 2, 0)
    expect(digits(1 - (2 * belief.rate) / total, norris.rSquared)).toBeGreaterThan(11)
  })

  it('agrees with the regression of simple-statistics', () => {
    const pairs = norris.x.map((x, k) => [x, norris.y[k]!])
    const { m, b } = linearRegression(pairs)
    expect(digits(slope, m)).toBeGreaterThan(10)
    expect(digits(intercept, b)).toBeGreaterThan(10)
  })

  it('is not this certificate’s by chance: one y changed by 0.1 is seen', () => {
    const other = regress(
      norris.x,
      norris.y.map((y, k) => (k === 3 ? y + 0.1 : y)),
    )
    expect(digits(meanOf(other)[1], norris.slope)).toBeLessThan(6)
  })
})
