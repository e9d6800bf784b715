import tQuantile from '@stdlib/stats-base-dists-t-quantile'
import { inverse, Matrix } from 'ml-matrix'
import { describe, expect, test } from 'vitest'
import { materialOf } from '../../../../server/bend/materials.ts'
import { nextLesson } from '../../../../server/bend/next-lesson.ts'
import {
  type NormalInverseGamma,
  observe,
  predictAt,
} from '../../../../server/bend/normal-inverse-gamma.ts'
import { priorFor, rowAt } from '../../../../server/bend/springback.ts'

const prior = priorFor({ odMm: 38.1, wallMm: 1.65, clrMm: 114.3 }, materialOf('316l-annealed'))

function learned(springbacksDeg: readonly number[], loadedDeg = 93) {
  const belief = springbacksDeg.reduce(
    (now, deg) => observe(now, rowAt(loadedDeg), deg),
    prior.belief,
  )
  return { belief, bends: springbacksDeg.length }
}

/** Precision matrix of a belief, from its triangle. */
function precisionOf({ r11, r12, r22 }: NormalInverseGamma): Matrix {
  const root = new Matrix([
    [r11, r12],
    [0, r22],
  ])
  return root.transpose().mmul(root)
}

describe('what the next bend teaches', () => {
  const models = [prior, learned([3.1]), learned([3.1, 3.4, 3.2, 3.3, 3.2]), learned([2.9, 3], 40)]

  test.each(models)('is by the normal equations what another row makes of them', (model) => {
    const { belief } = model
    const row = new Matrix([[...rowAt(93)]])
    const leverage = (precision: Matrix) =>
      row.mmul(inverse(precision)).mmul(row.transpose()).get(0, 0)
    const then = Matrix.add(precisionOf(belief), row.transpose().mmul(row))
    // E u² of the posterior predictive, and so of the rate: Gelman et al., Bayesian Data Analysis, 3.2, from memory.
    const { shape, rate } = belief
    const rateThen = rate + rate / (shape - 1) / 2
    const scale = Math.sqrt((rateThen / (shape + 0.5)) * (1 + leverage(then)))
    const { nowDeg, afterDeg } = nextLesson(model, 93)
    expect(afterDeg).toBeCloseTo(tQuantile(0.975, 2 * shape + 1) * scale, 9)
    const now = Math.sqrt((rate / shape) * (1 + leverage(precisionOf(belief))))
    expect(nowDeg).toBeCloseTo(tQuantile(0.975, 2 * shape) * now, 9)
  })

  test.each(models)('is the root mean square over all that may come of it', (model) => {
    const row = rowAt(93)
    const { mean, scale, degreesOfFreedom } = predictAt(model.belief, row)
    const steps = 20_000
    let sum = 0
    for (let k = 0; k < steps; k++) {
      const deg = mean + scale * tQuantile((k + 0.5) / steps, degreesOfFreedom)
      sum += predictAt(observe(model.belief, row, deg), row).scale ** 2
    }
    const half = tQuantile(0.975, degreesOfFreedom + 1) * Math.sqrt(sum / steps)
    expect(nextLesson(model, 93).afterDeg / half).toBeCloseTo(1, 2)
  })

  test('is much at first, little later, and never less than the scatter from tube to tube', () => {
    const first = nextLesson(prior, 93)
    expect(first.afterDeg).toBeLessThan(0.7 * first.nowDeg)
    const many = nextLesson(
      learned(Array.from({ length: 300 }, (_, k) => 3.2 + 0.1 * ((k % 3) - 1))),
      93,
    )
    expect(many.nowDeg - many.afterDeg).toBeLessThan(0.01)
    expect(many.afterDeg).toBeGreaterThan(many.leftDeg)
    expect(many.afterDeg / many.leftDeg).toBeCloseTo(1, 1)
  })

  test('what remains is 1.96 times the noise that the model believes', () => {
    expect(nextLesson(prior, 93).leftDeg).toBeCloseTo(1.96 * 0.2, 3)
  })
})
