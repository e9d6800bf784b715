import { inverse, Matrix } from 'ml-matrix'
import { describe, expect, test } from 'vitest'
import { materialOf } from '../../../../server/bend/materials.ts'
import { observe } from '../../../../server/bend/normal-inverse-gamma.ts'
import { coefficientsOf, priorFor, rowAt } from '../../../../server/bend/springback.ts'
import { bandOf, curveAnglesDeg, lawOf } from '../../../../server/bend/springback-band.ts'
import { predictSpringback } from '../../../../server/bend/springback-prediction.ts'

const prior = priorFor({ odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }, materialOf('316l-annealed'))
const learned = {
  belief: [40, 65, 93].reduce(
    (belief, deg) => observe(belief, rowAt(deg), 0.7 + 0.027 * deg),
    prior.belief,
  ),
  bends: 3,
}

describe('the angles of a curve', () => {
  test('go from 0 past everything, to a round angle', () => {
    const angles = curveAnglesDeg([40, 133.2])
    expect([angles[0], angles.at(-1), angles.length]).toEqual([0, 140, 61])
  })
  test('reach 110° where nothing was bent, and never past a full turn', () => {
    expect(curveAnglesDeg([]).at(-1)).toBe(110)
    expect(curveAnglesDeg([359.9]).at(-1)).toBe(360)
  })
})

describe('a band', () => {
  const loadedDeg = curveAnglesDeg([93])
  const band = bandOf(learned, loadedDeg)

  test('is what is foretold at each angle, and nothing at 0', () => {
    loadedDeg.forEach((deg, k) => {
      const shown = [band.lowDeg[k], band.springbackDeg[k], band.highDeg[k]]
      const nothing = { lowDeg: 0, springbackDeg: 0, highDeg: 0 }
      const { lowDeg, springbackDeg, highDeg } = deg > 0 ? predictSpringback(learned, deg) : nothing
      expect(shown).toEqual([lowDeg, springbackDeg, highDeg])
    })
  })

  test('is narrower than the one before the bends', () => {
    const before = bandOf(prior, loadedDeg)
    for (const k of [20, 40, 60]) {
      const width = (of: typeof band) => (of.highDeg[k] ?? 0) - (of.lowDeg[k] ?? 0)
      expect(width(band)).toBeLessThan(width(before) / 2)
    }
  })

  test('is drawn finely enough: straight lines between its angles lie within 0.02° of the law', () => {
    const step = loadedDeg[1] ?? 0
    for (let k = 1; k < 60; k++) {
      const middle = predictSpringback(learned, (k + 0.5) * step).springbackDeg
      const line = ((band.springbackDeg[k] ?? 0) + (band.springbackDeg[k + 1] ?? 0)) / 2
      expect(Math.abs(middle - line)).toBeLessThan(0.02)
    }
  })
})

test('the law has the deviations of the marginal Student-t, by the inverse of the precision', () => {
  const { r11, r12, r22, shape, rate } = learned.belief
  const root = new Matrix([
    [r11, r12],
    [0, r22],
  ])
  const covariance = inverse(root.transpose().mmul(root)).mul(rate / (shape - 1))
  const law = lawOf(learned)
  expect(law.interceptSdDeg).toBeCloseTo(Math.sqrt(covariance.get(0, 0)), 9)
  expect(law.slopeSd).toBeCloseTo(Math.sqrt(covariance.get(1, 1)), 9)
  expect(law.noiseSdDeg).toBeCloseTo(Math.sqrt(rate / (shape - 1)), 12)
  expect(law).toMatchObject(coefficientsOf(learned))
})
