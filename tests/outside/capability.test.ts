import { describe, expect, it } from 'vitest'
import {
  capabilityOf,
  nearestLimits,
  rangeDegreesOfFreedom,
  widthLimits,
} from '../../server/quality/capability.ts'
import { gaugeAnova, gaugeRanges } from '../../server/quality/gauge-study.ts'
import { angleToleranceDeg } from '../../server/quality/tolerance-class.ts'
import { coverageFactor } from '../../server/quality/uncertainty-budget.ts'
import { MSA_READINGS as MSA } from '../support/gauge-readings.ts'

it('NIST/SEMATECH e-Handbook 6.1.6: Cp 1, Cpk 0.6667', () => {
  const sigma = { value: 2, degreesOfFreedom: 49 }
  const found = capabilityOf({ n: 50, mean: 16 }, sigma, { lower: 8, upper: 20 }, 0.95)
  expect(found.width!.value).toBeCloseTo(1, 12)
  expect(found.nearest!.value).toBeCloseTo(0.6667, 4)
  expect(found.nearest!.low).toBeCloseTo(0.505551, 5)
  expect(found.nearest!.high).toBeCloseTo(0.827782, 5)
})

it.each([
  [10, 1, 0.493939, 1.506061],
  [20, 1, 0.650096, 1.349904],
  [30, 1.33, 0.967529, 1.692471],
  [50, 1.33, 1.050939, 1.609061],
  [100, 1.33, 1.133564, 1.526436],
  [30, 0.625, 0.424748, 0.825252],
])('Bissell 1990, computed apart: n %d, Cpk %d lies in %d to %d', (n, cpk, low, high) => {
  const found = nearestLimits(cpk, n, n - 1, 0.95)
  expect(Math.abs(found.low - low)).toBeLessThan(1e-5)
  expect(Math.abs(found.high - high)).toBeLessThan(1e-5)
})

it.each([
  [10, 1, 0.547762, 1.453837],
  [20, 1, 0.684663, 1.314941],
  [30, 1.33, 0.989351, 1.670001],
  [50, 1, 0.802482, 1.197126],
])('exact by chi-square, computed apart: n %d, Cp %d lies in %d to %d', (n, cp, low, high) => {
  const found = widthLimits(cp, n - 1, 0.95)
  expect(Math.abs(found.low - low)).toBeLessThan(1e-6)
  expect(Math.abs(found.high - high)).toBeLessThan(1e-6)
})

it('moving ranges tell sigma as well as the variance (0.826 n − 1.082)/(n − 1)² says (Cryer, Ryan 1990, from memory)', () => {
  for (const n of [2, 10, 100]) {
    const variance = (0.826 * n - 1.082) / (n - 1) ** 2
    expect(rangeDegreesOfFreedom(n) * 2 * variance).toBeCloseTo(1, 2)
  }
})

describe('AIAG MSA manual, 4th edition, chapter III: 10 parts, 3 appraisers, 3 trials', () => {
  it('analysis of variance, as published', () => {
    const { squares, ...study } = gaugeAnova(MSA)
    expect(squares.part).toBeCloseTo(88.3619, 4)
    expect(squares.appraiser).toBeCloseTo(3.1673, 4)
    expect(squares.interaction).toBeCloseTo(0.359, 4)
    expect(squares.repeatability).toBeCloseTo(2.7589, 4)
    expect(study.degreesOfFreedom).toEqual({
      part: 9,
      appraiser: 2,
      interaction: 18,
      repeatability: 60,
    })
    expect(Math.abs(study.interactionF! - 0.43372)).toBeLessThan(1e-5)
    expect(study.pooled).toBe(true)
    expect(study.repeatability ** 2).toBeCloseTo(0.03997, 5)
    expect(study.reproducibility ** 2).toBeCloseTo(0.05146, 5)
    expect(study.gauge ** 2).toBeCloseTo(0.09143, 5)
    expect(study.part ** 2).toBeCloseTo(1.08645, 4)
    expect((100 * study.gauge) / study.total).toBeCloseTo(27.86, 2)
    expect(study.categories).toBe(4)
  })

  it('averages and ranges, as printed there with rounding in between (from memory)', () => {
    const study = gaugeRanges(MSA)
    const printed = [0.20188, 0.22963, 0.30575, 1.10456, 1.1461]
    const { repeatability, reproducibility, gauge, part, total } = study
    for (const [i, own] of [repeatability, reproducibility, gauge, part, total].entries())
      expect(Math.abs(own - printed[i]!)).toBeLessThan(1e-4)
    expect(study.categories).toBe(5)
    expect(study.constants).toEqual({ K1: 0.5908, K2: 0.5231, K3: 0.3146 })
  })
})

it.each([
  ['m', 10, 60],
  ['m', 10.01, 30],
  ['m', 50, 30],
  ['f', 50.01, 20],
  ['m', 120, 20],
  ['m', 400, 10],
  ['f', 400.01, 5],
  ['c', 10, 90],
  ['c', 400, 15],
  ['c', 401, 10],
  ['v', 5, 180],
  ['v', 50, 120],
  ['v', 120, 60],
  ['v', 121, 30],
  ['v', 1000, 20],
] as const)(
  'ISO 2768-1:1989 table 3, class %s, leg of %d mm: ±%d minutes',
  (of, legMm, minutes) => {
    expect(angleToleranceDeg(of, legMm)).toBeCloseTo(minutes / 60, 12)
  },
)

it.each([
  [1, 12.706205],
  [2, 4.302653],
  [5, 2.570582],
  [10, 2.228139],
  [16, 2.119905],
  [30, 2.042272],
  [120, 1.97993],
])("Student's t, 95 %% two-sided, %d degrees of freedom: %d", (degreesOfFreedom, t) => {
  expect(coverageFactor(degreesOfFreedom, 0.95)).toBeCloseTo(t, 5)
})
