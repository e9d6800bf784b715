import tQuantile from '@stdlib/stats-base-dists-t-quantile'
import { inverse, Matrix } from 'ml-matrix'
import { describe, expect, test } from 'vitest'
import { lotDifference } from '../../../../server/bend/lot-difference.ts'
import { beliefFrom, observe } from '../../../../server/bend/normal-inverse-gamma.ts'
import { rowAt } from '../../../../server/bend/springback.ts'

const ANGLES = [38, 62, 90, 62, 38, 120]
const scatter = [0.05, -0.08, 0.02, 0.06, -0.04, 0.01]
const bends = (slope: number, interceptDeg = 0.6) =>
  ANGLES.map((deg, k) => ({ deg, backDeg: interceptDeg + slope * deg + (scatter[k] ?? 0) }))

/** From a flat start: classical least squares. */
function modelOf(of: ReturnType<typeof bends>) {
  const flat = beliefFrom({ mean: [0, 0], precision: [0, 0], shape: -1, rate: 0 })
  const belief = of.reduce((now, { deg, backDeg }) => observe(now, rowAt(deg), backDeg), flat)
  return { belief, bends: of.length }
}

/** Fitted value at an angle and its standard error, by the normal equations. */
function fitted(of: ReturnType<typeof bends>, atDeg: number) {
  const rows = new Matrix(of.map(({ deg }) => [...rowAt(deg)]))
  const backs = Matrix.columnVector(of.map(({ backDeg }) => backDeg))
  const spread = inverse(rows.transpose().mmul(rows))
  const best = spread.mmul(rows.transpose()).mmul(backs)
  const left = Matrix.sub(backs, rows.mmul(best)).to1DArray()
  const variance = left.reduce((sum, deg) => sum + deg * deg, 0) / (of.length - 2)
  const row = new Matrix([[...rowAt(atDeg)]])
  return {
    deg: row.mmul(best).get(0, 0),
    variance: variance * row.mmul(spread).mmul(row.transpose()).get(0, 0),
  }
}

describe('two lots', () => {
  const [one, other, third] = [bends(0.04), bends(0.033), bends(0.0335, 0.65)]

  test('differ by their fitted lines, known to the errors of both', () => {
    const [a, b] = [fitted(one, 93), fitted(other, 93)]
    const { differenceDeg, expandedDeg, isTold } = lotDifference(modelOf(one), [modelOf(other)], 93)
    expect(differenceDeg).toBeCloseTo(a.deg - b.deg, 9)
    expect(expandedDeg).toBeCloseTo(tQuantile(0.975, 4) * Math.sqrt(a.variance + b.variance), 9)
    expect(isTold).toBe(true)
  })

  test('against several: their mean, its error the smaller', () => {
    const [a, b, c] = [fitted(one, 60), fitted(other, 60), fitted(third, 60)]
    const difference = lotDifference(modelOf(one), [modelOf(other), modelOf(third)], 60)
    expect(difference.differenceDeg).toBeCloseTo(a.deg - (b.deg + c.deg) / 2, 9)
    const variance = a.variance + (b.variance + c.variance) / 4
    expect(difference.expandedDeg).toBeCloseTo(tQuantile(0.975, 4) * Math.sqrt(variance), 9)
  })

  test('that are alike cannot be told apart', () => {
    const { differenceDeg, expandedDeg, isTold } = lotDifference(
      modelOf(other),
      [modelOf(third)],
      60,
    )
    expect(Math.abs(differenceDeg)).toBeLessThan(expandedDeg)
    expect(isTold).toBe(false)
  })

  test('change sign when they change places', () => {
    const there = lotDifference(modelOf(one), [modelOf(other)], 93)
    const back = lotDifference(modelOf(other), [modelOf(one)], 93)
    expect(back.differenceDeg).toBeCloseTo(-there.differenceDeg, 12)
    expect(back.expandedDeg).toBeCloseTo(there.expandedDeg, 12)
  })
})
