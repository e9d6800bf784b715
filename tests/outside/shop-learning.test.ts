import tQuantile from '@stdlib/stats-base-dists-t-quantile'
import { inverse, Matrix } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import { aimUnderCosts } from '../../server/bend/cost-aim.ts'
import { CUSUM_START, driftOf, normalScore, stepCusum } from '../../server/bend/drift-watch.ts'
import {
  askLevels,
  newDie,
  newLevels,
  newLot,
  newMaterial,
  newSeat,
  putShare,
} from '../../server/bend/levels.ts'
import { beliefFrom, observe } from '../../server/bend/normal-inverse-gamma.ts'
import { robustFit } from '../../server/bend/robust-weights.ts'
import { studentBelow } from '../../server/bend/student-t.ts'
import learning from './data/learning.json' with { type: 'json' }
import shop from './data/shop-learning.json' with { type: 'json' }

const { prior, loadedDeg, springbackDeg } = learning.normalInverseGamma
const start = beliefFrom({
  mean: prior.mean as [number, number],
  precision: prior.precision as [number, number],
  shape: prior.shape,
  rate: prior.rate,
})
const rows = loadedDeg.map((x, k) => ({ row: [1, x] as const, y: springbackDeg[k]! }))

describe(`robust weights against: ${shop.source}`, () => {
  const { a, b, weightOfBad } = shop.robust
  const { coefficients, weights } = robustFit(start, [...rows, { row: [1, 75], y: 5.9 }], 0.2)

  it('coefficients', () => {
    expect(coefficients[0]).toBeCloseTo(a, 6)
    expect(coefficients[1]).toBeCloseTo(b, 8)
  })

  it('the bad bend weighs 2 %, the good ones 1.12 to 1.22', () => {
    expect(weights[5]).toBeCloseTo(weightOfBad, 6)
    expect(Math.min(...weights.slice(0, 5))).toBeCloseTo(1.12, 2)
    expect(Math.max(...weights.slice(0, 5))).toBeCloseTo(1.22, 2)
  })
})

describe('one lot drawn to its material (shrinkage, Gelman et al., Bayesian Data Analysis 5)', () => {
  it.each(shop.pooling)('mean $y, standard error $se', ({ mu, tau, y, se, mean, sd }) => {
    // A material known exactly, and a lot of which one set-up says y ± se of the slope.
    const levels = newLevels({ shopInterceptVariance: 1, dieInterceptVariance: 1 }, (tau / mu) ** 2)
    const material = newMaterial(levels, 1e-14)
    const die = newDie(levels)
    const seat = newSeat(levels, die, 1)
    const lot = newLot(levels, material, 1e-14)
    const ratioPrecision = (mu / se) ** 2
    const evidence = {
      interceptPrecision: 0,
      crossPrecision: 0,
      ratioPrecision,
      interceptRight: 0,
      ratioRight: ratioPrecision * (y / mu - 1),
    }
    putShare(levels, lot, 'one', { seat, evidence })
    const place = {
      ...{ lot, material, materialVariance: 1e-14 },
      ...{ seat, seatVariance: 1, die, without: 'another' },
    }
    const { mean: found, secondVariance } = askLevels(levels, place)
    expect(mu * (1 + found[1])).toBeCloseTo(mean, 8)
    expect(mu * Math.sqrt(secondVariance)).toBeCloseTo(sd, 8)
  })
})

describe('CUSUM, k 0.5', () => {
  const { z, upper, alarmAtH4, alarmAtH5 } = shop.cusum
  const sums = [CUSUM_START]
  for (const value of z) sums.push(stepCusum(sums.at(-1)!, value))

  it('the sums', () => {
    upper.forEach((sum, k) => {
      expect(sums[k + 1]!.upper).toBeCloseTo(sum, 12)
    })
    expect(sums.every(({ lower }) => lower === 0)).toBe(true)
  })

  it.each([
    [4, alarmAtH4],
    [5, alarmAtH5],
  ])('height %d: alarm at bend %d', (height, bend) => {
    expect(sums.findIndex((sum) => driftOf(sum, height) !== null)).toBe(bend)
  })
})

/**
 * Average run length of the upper sum by a Markov chain over its value (Brook & Evans, Biometrika 59,
 * 1972, 539), the steps taken from `stepCusum` itself: a uniform grid of states, each entered by the
 * normal probability of its cell.
 */
function oneSidedRunLength(height: number, shift: number, states = 150): number {
  const cell = height / (states - 0.5)
  const below = (x: number) => {
    // Φ by Student's t of 1000 degrees would be off by 1e-4; Abramowitz & Stegun 26.2.17 by 7.5e-8.
    const t = 1 / (1 + 0.2316419 * Math.abs(x))
    const series = [0.31938153, -0.356563782, 1.781477937, -1.821255978, 1.330274429]
    const tail =
      (Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI)) *
      series.reduce((sum, c, k) => sum + c * t ** (k + 1), 0)
    return x < 0 ? tail : 1 - tail
  }
  // The z that takes one sum to another, found from the step of z = 100.
  const slack = 100 - stepCusum(CUSUM_START, 100).upper
  const identityLess = Matrix.zeros(states, states)
  for (let from = 0; from < states; from++)
    for (let to = 0; to < states; to++) {
      const high = below((to + 0.5 - from) * cell + slack - shift)
      const low = to === 0 ? 0 : below((to - 0.5 - from) * cell + slack - shift)
      identityLess.set(from, to, (from === to ? 1 : 0) - (high - low))
    }
  return inverse(identityLess)
    .getRow(0)
    .reduce((sum, value) => sum + value, 0)
}

/** Of both sums, by 1/ARL = 1/ARL⁺ + 1/ARL⁻ (Kemp 1961, from memory), exact for k > 0. */
const runLength = (height: number, shift: number) =>
  1 / (1 / oneSidedRunLength(height, shift) + 1 / oneSidedRunLength(height, -shift))

describe('average run lengths of the two-sided CUSUM', () => {
  const { 'k0.5h4': h4, 'k0.5h5': h5 } = shop.cusum.averageRunLengthTwoSided
  // Montgomery, Introduction to Statistical Quality Control, table of ARLs of the tabular CUSUM,
  // from memory: 168, 8.38, 3.34 for h = 4 and 465, 10.4, 4.01 for h = 5.
  it.each([
    [4, 0, h4.inControl, 168],
    [4, 1, h4.shift1, 8.38],
    [4, 2, h4.shift2, 3.34],
    [5, 0, h5.inControl, 465],
    [5, 1, h5.shift1, 10.4],
    [5, 2, h5.shift2, 4.01],
  ])('height %d, shift %d: %d (handbook %d)', (height, shift, ours, handbook) => {
    const found = runLength(height, shift)
    expect(Math.abs(found / ours - 1)).toBeLessThan(0.002)
    expect(Math.abs(found / handbook - 1)).toBeLessThan(0.005)
  })
})

describe('Student-t against the quantiles of a statistics library', () => {
  const freedoms = [1, 2, 3, 4, 5, 6, 7, 11, 12, 24, 101, 1000]

  it.each(freedoms)('%d degrees of freedom', (freedom) => {
    for (const p of [0.0005, 0.01, 0.05, 0.3, 0.5, 0.9, 0.975, 0.999])
      expect(studentBelow(tQuantile(p, freedom), freedom)).toBeCloseTo(p, 10)
  })

  it.each([6, 12, 24, 100])('normal score with %d degrees, to 0.02', (freedom) => {
    // Φ⁻¹ from the normal table: 1.2816, 1.6449, 2.3263, 3.0902.
    for (const [p, z] of [
      [0.9, 1.2816],
      [0.95, 1.6449],
      [0.99, 2.3263],
      [0.999, 3.0902],
    ] as const)
      expect(Math.abs(normalScore(tQuantile(p, freedom), freedom) - z)).toBeLessThan(0.02)
  })
})

describe('step loss, tolerance ±0.5°, after five bends (computed outside the project)', () => {
  const belief = rows.reduce((held, { row, y }) => observe(held, row, y), start)
  it.each([
    [1, 93.399, 0.008546],
    [5, 93.327, 0.019182],
    [20, 93.263, 0.038727],
  ])('scrap costs %d goes: stop at %d°, cost %d', (scrap, commandedDeg, cost) => {
    const aim = aimUnderCosts(
      { belief, bends: 5 },
      { wantedDeg: 90, toleranceDeg: 0.5, costs: { oneMoreGo: 1, scrap } },
    )
    if (aim.commandedDeg === null) throw new Error(aim.why)
    expect(Math.abs(aim.commandedDeg - commandedDeg)).toBeLessThan(0.001)
    expect(Math.abs(aim.cost / cost - 1)).toBeLessThan(0.01)
  })
})
