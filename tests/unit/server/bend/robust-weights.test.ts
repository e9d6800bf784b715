import { describe, expect, it } from 'vitest'
import { beliefFrom, meanOf, observe } from '../../../../server/bend/normal-inverse-gamma.ts'
import {
  medianSpread,
  residualsOf,
  robustFit,
  studentWeight,
} from '../../../../server/bend/robust-weights.ts'

const prior = beliefFrom({ mean: [0.5, 0.03], precision: [0.25, 2000], shape: 3, rate: 0.08 })
const line = (x: number, off = 0) => ({ row: [1, x] as const, y: 0.6 + 0.03 * x + off })
const good = [30, 45, 60, 75, 90, 120].map((x, k) => line(x, k % 2 ? 0.02 : -0.02))

describe('robustFit', () => {
  it('without bad rows it is close to the plain fit', () => {
    const plain = meanOf(good.reduce((held, { row, y }) => observe(held, row, y), prior))
    const { coefficients, weights } = robustFit(prior, good, 0.2)
    expect(coefficients[0]).toBeCloseTo(plain[0], 1)
    expect(coefficients[1]).toBeCloseTo(plain[1], 3)
    for (const weight of weights) expect(weight).toBeGreaterThan(1.2)
  })

  it.each([3, -3])('a row %d° off hardly moves the line', (off) => {
    const clean = robustFit(prior, good, 0.2).coefficients
    const { coefficients, weights } = robustFit(prior, [...good, line(80, off)], 0.2)
    expect(
      Math.abs(coefficients[0] + 80 * coefficients[1] - clean[0] - 80 * clean[1]),
    ).toBeLessThan(0.03)
    expect(weights.at(-1)).toBeLessThan(0.03)
  })

  it('a vouched row weighs 1, however far off', () => {
    const { weights } = robustFit(prior, [...good, { ...line(80, 3), vouched: true }], 0.2)
    expect(weights.at(-1)).toBe(1)
  })

  it('no rows: the prior’s own line', () => {
    const { coefficients, weights } = robustFit(prior, [], 0.2)
    expect(weights).toEqual([])
    expect(coefficients[0]).toBeCloseTo(0.5, 12)
    expect(coefficients[1]).toBeCloseTo(0.03, 12)
  })

  it('the same rows give the same digits', () => {
    const rows = [...good, line(50, 1)]
    expect(robustFit(prior, rows, 0.2)).toEqual(robustFit(prior, rows, 0.2))
  })

  it('is the maximum of the t likelihood and prior: no small step is better', () => {
    const rows = [...good, line(75, 0.9)]
    const { coefficients } = robustFit(prior, rows, 0.2)
    const cost = ([a, b]: readonly [number, number]) =>
      (0.25 * (a - 0.5) ** 2 + 2000 * (b - 0.03) ** 2) / 2 +
      0.04 *
        residualsOf([a, b], rows).reduce(
          (s, r) => s + (5 / 2) * Math.log1p((r * r) / (4 * 0.04)),
          0,
        )
    const best = cost(coefficients)
    for (const [da, db] of [
      [1e-4, 0],
      [-1e-4, 0],
      [0, 1e-6],
      [0, -1e-6],
    ] as const)
      expect(cost([coefficients[0] + da, coefficients[1] + db])).toBeGreaterThan(best)
  })

  it('a weight is 1.25 on the line and a quarter at four scales', () => {
    expect(studentWeight(0, 0.2)).toBe(1.25)
    expect(studentWeight(0.8, 0.2)).toBeCloseTo(0.25, 12)
    expect(studentWeight(-0.8, 0.2)).toBeCloseTo(0.25, 12)
  })
})

describe('medianSpread', () => {
  it.each([
    [[], 0],
    [[0.1], 0.1482602],
    [[0.1, -0.3], 0.2965204],
    [[0.1, -0.2, 50], 0.2965204],
    [[1, 2, 3, 4], 1.482602 * 2.5],
  ])('of %j', (residuals, spread) => expect(medianSpread(residuals)).toBeCloseTo(spread, 9))
})
