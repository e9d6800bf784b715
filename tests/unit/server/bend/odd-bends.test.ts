import { inverse, Matrix } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import { beliefFrom, type Row } from '../../../../server/bend/normal-inverse-gamma.ts'
import { type EarlyBend, likelyOdd, logGammaStep } from '../../../../server/bend/odd-bends.ts'

const mean = [0.5, 0.03] as const
const precision = [0.25, 2000] as const
const [shape, rate] = [3, 0.08]
const prior = beliefFrom({ mean, precision, shape, rate })
const bend = (loadedDeg: number, offDeg = 0, vouched = false): EarlyBend => {
  const springbackDeg = 0.5 + 0.03 * loadedDeg + offDeg
  return { row: [1, loadedDeg], y: springbackDeg, springbackDeg, vouched }
}
const oddOf = (bends: readonly EarlyBend[]) => likelyOdd(prior, bends).odd

describe('logGammaStep', () => {
  // Γ of whole and half numbers in closed form: Γ(3) = 2, Γ(3.5) = 15√π/8, Γ(4) = 6, Γ(10.5)/Γ(10) from
  // Γ(10.5) = 654729075√π/1024 and Γ(10) = 362880.
  const root = Math.sqrt(Math.PI)
  it.each([
    [3, (15 * root) / 8 / 2],
    [3.5, 6 / ((15 * root) / 8)],
    [10, (654729075 * root) / 1024 / 362880],
  ])('from %d', (a, ratio) =>
    expect(Math.abs(logGammaStep(a) - Math.log(ratio))).toBeLessThan(1e-5),
  )
})

describe('the choice against every density written out', () => {
  /** Multivariate t of the bends that count: shape, rate and XΛ⁻¹Xᵀ + I by matrices. */
  function logMarginal(rows: readonly Row[], ys: readonly number[]): number {
    if (rows.length === 0) return 0
    const x = new Matrix(rows.map((row) => [...row]))
    const covariance = x
      .mmul(Matrix.diag([1 / precision[0], 1 / precision[1]]))
      .mmul(x.transpose())
      .add(Matrix.eye(rows.length))
      .mul(rate / shape)
    const off = Matrix.columnVector(ys.map((y, k) => y - mean[0] - mean[1] * rows[k]![1]))
    const square = off.transpose().mmul(inverse(covariance)).mmul(off).get(0, 0)
    const [df, n] = [2 * shape, rows.length]
    let logGamma = 0
    for (let a = df / 2; a < (df + n) / 2; a += 0.5) logGamma += logGammaStep(a)
    const det = Math.exp(logDeterminant(covariance))
    return (
      logGamma -
      (n / 2) * Math.log(df * Math.PI) -
      Math.log(det) / 2 -
      ((df + n) / 2) * Math.log1p(square / df)
    )
  }
  /** Of a symmetric positive matrix, by elimination. */
  function logDeterminant(matrix: Matrix): number {
    const m = matrix.to2DArray()
    let sum = 0
    for (let i = 0; i < m.length; i++) {
      sum += Math.log(m[i]![i]!)
      for (let j = i + 1; j < m.length; j++) {
        const f = m[j]![i]! / m[i]![i]!
        for (let k = i; k < m.length; k++) m[j]![k]! -= f * m[i]![k]!
      }
    }
    return sum
  }

  it.each([0.3, 0.6, 0.9, 1.2, 1.5, 1.8, 2.4])('a first bend that is %d° off', (offDeg) => {
    const only = bend(90, offDeg)
    const counts = logMarginal([only.row], [only.y]) + Math.log(0.98)
    // Student-t of 3 degrees, scale √(2² + the prediction's own²), which has √(rate/shape·(1 + xΛ⁻¹x)).
    const variance = 4 + (rate / shape) * (1 + 1 / precision[0] + 8100 / precision[1])
    const t = (2 / (Math.PI * Math.sqrt(3 * variance))) * (1 + offDeg ** 2 / (3 * variance)) ** -2
    const disturbed = Math.log(t) + Math.log(0.02)
    expect(oddOf([only])).toEqual(disturbed > counts ? [0] : [])
  })

  it('three bends, each choice by itself', () => {
    const bends = [bend(90, 1.6), bend(45, 0.1), bend(60, -0.05)]
    const logs = [[], [0], [1], [2]].map((odd) => {
      const rest = bends.filter((_, k) => !odd.includes(k as never))
      return logMarginal(
        rest.map(({ row }) => row),
        rest.map(({ y }) => y),
      ) // without the odd one’s own density
    })
    // Without the first, the other two are far likelier than by what a disturbance costs.
    expect(logs[1]! - logs[0]!).toBeGreaterThan(Math.log(0.98 / 0.02))
    expect(oddOf(bends)).toEqual([0])
  })
})

describe('likelyOdd', () => {
  it('of none and of bends that agree: none', () => {
    expect(oddOf([])).toEqual([])
    for (const count of [1, 2, 3, 4, 5, 6])
      expect(oddOf([90, 30, 60, 120, 45, 75].slice(0, count).map((deg) => bend(deg)))).toEqual([])
  })

  it.each([0, 1, 2])('a bump of 2.5° as number %d of three is the one, either way', (at) => {
    for (const bump of [2.5, -2.5]) {
      const bends = [90, 45, 60].map((deg, k) => bend(deg, k === at ? bump : 0.05 * k))
      expect(oddOf(bends)).toEqual([at])
    }
  })

  it('two of six', () => {
    const bends = [90, 45, 60, 120, 30, 75].map((deg, k) => bend(deg, [0, 2, 0, 0, -3, 0][k]))
    expect(oddOf(bends)).toEqual([1, 4])
  })

  it('two that are off alike bear each other out: the prior was wrong', () => {
    expect(oddOf([bend(90, 3)])).toEqual([0])
    expect(oddOf([bend(90, 3), bend(60, 2)])).toEqual([])
  })

  it('a vouched one always counts', () => {
    expect(oddOf([bend(90, 6, true)])).toEqual([])
    const two = [bend(90), bend(45)]
    expect(oddOf([...two, bend(60, 3, true)])).not.toContain(2)
    expect(oddOf([...two, bend(60, 3)])).toEqual([2])
  })

  it('the line is that of the others', () => {
    const good = [bend(90, 0.1), bend(45)]
    const { line } = likelyOdd(prior, [good[0]!, bend(60, 4), good[1]!])
    expect(line).toEqual(likelyOdd(prior, good).line)
  })
})
