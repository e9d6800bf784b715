import { describe, expect, test } from 'vitest'
import { type Proof, provedBy } from '../../server/quality/proof.ts'

/**
 * ISO 14253-1 as a drawing (from memory): conformity is proved where the whole interval from y − U to y + U lies within
 * the limits, non-conformity where the whole of it lies beyond one. Walked in whole thousandths, so that no binary digit
 * decides at a limit.
 */
function byInterval(error: number, tolerance: number, expanded: number): Proof {
  const [low, high] = [error - expanded, error + expanded]
  if (low >= -tolerance && high <= tolerance) return 'proved-in'
  return low > tolerance || high < -tolerance ? 'proved-out' : 'undecided'
}

test('it is the rule of the interval, at each thousandth about both limits', () => {
  const seen = new Set<Proof>()
  for (const [tolerance, expanded] of [
    [500, 260],
    [500, 0],
    [200, 260],
    [0, 0],
  ] as const)
    for (let error = -1000; error <= 1000; error += 1) {
      const rule = byInterval(error, tolerance, expanded)
      seen.add(rule)
      const measured = {
        error: error / 1000,
        tolerance: tolerance / 1000,
        expanded: expanded / 1000,
      }
      expect(provedBy(measured), JSON.stringify(measured)).toBe(rule)
    }
  expect([...seen].toSorted()).toEqual(['proved-in', 'proved-out', 'undecided'])
})

/** The normal distribution at 2, from tables of statistics: 0.97725 (Abramowitz and Stegun, table 26.1). */
const PHI_2 = 0.977_25
/** erf after Abramowitz and Stegun 7.1.26, good to 1.5e-7. */
function phi(x: number): number {
  const t = 1 / (1 + (0.327_591_1 * Math.abs(x)) / Math.SQRT2)
  const series =
    t *
    (0.254_829_592 +
      t * (-0.284_496_736 + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))))
  const upper = 1 - (series * Math.exp((-x * x) / 2)) / 2
  return x < 0 ? 1 - upper : upper
}

describe('JCGM 106:2012, conformance probability of a normal measurement (formula from memory)', () => {
  const tolerance = 0.5
  const expanded = 0.2
  const u = expanded / 2
  const conforms = (error: number) => phi((tolerance - error) / u) - phi((-tolerance - error) / u)

  test('the table and the series agree', () => {
    expect(phi(2)).toBeCloseTo(PHI_2, 5)
  })

  test('whatever is proved in conforms with at least 97.7 %, whatever is proved out with at most 2.3 %', () => {
    for (let error = -0.9; error <= 0.9; error += 0.001) {
      const proof = provedBy({ error, tolerance, expanded })
      const probability = conforms(error)
      if (proof === 'proved-in') expect(probability).toBeGreaterThanOrEqual(PHI_2 - 1e-4)
      if (proof === 'proved-out') expect(probability).toBeLessThanOrEqual(1 - PHI_2 + 1e-4)
      if (proof === 'undecided') {
        expect(probability).toBeLessThan(PHI_2 + 1e-3)
        expect(probability).toBeGreaterThan(1 - PHI_2 - 1e-3)
      }
    }
  })
})

test.each([
  [Number.NaN, 0.5, 0.1],
  [0.1, Number.NaN, 0.1],
  [0.1, 0.5, Number.NaN],
  [0.1, -0.5, 0.1],
  [0.1, 0.5, -0.1],
  [Number.POSITIVE_INFINITY, 0.5, 0.1],
])('%d off by ± %d with U %d proves nothing', (error, tolerance, expanded) => {
  expect(provedBy({ error, tolerance, expanded })).toBeNull()
})
