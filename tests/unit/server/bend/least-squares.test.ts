import { linearRegression, linearRegressionLine } from 'simple-statistics'
import { describe, expect, it } from 'vitest'
import {
  addRow,
  clearLeastSquares,
  damp,
  newLeastSquares,
  solve,
} from '../../../../server/bend/least-squares.ts'
import { seeded } from '../../../support/synthetic-trace.ts'

describe('least squares', () => {
  it('fits a line as simple-statistics does', () => {
    const random = seeded(31)
    const points = Array.from({ length: 50 }, (_, x) => [x, 3 - 0.7 * x + random.normal()])
    const problem = newLeastSquares(2)
    problem.row[0] = 1
    for (const [x, y] of points) {
      problem.row[1] = x!
      addRow(problem, y!)
    }
    const squares = solve(problem)
    const line = linearRegression(points)
    expect(problem.solution[0]).toBeCloseTo(line.b, 6)
    expect(problem.solution[1]).toBeCloseTo(line.m, 6)
    const left = points.reduce((sum, [x, y]) => sum + (y! - linearRegressionLine(line)(x!)) ** 2, 0)
    expect(squares).toBeCloseTo(left, 3)
  })

  it('finds the coefficients that made the data, and leaves nothing over', () => {
    const random = seeded(32)
    const truth = [5, -2, 0.5, 8, -3]
    const problem = newLeastSquares(5)
    for (let point = 0; point < 40; point += 1) {
      let y = 0
      truth.forEach((coefficient, column) => {
        problem.row[column] = random.normal()
        y += coefficient * problem.row[column]!
      })
      addRow(problem, y)
    }
    expect(solve(problem)).toBeLessThan(1e-4)
    truth.forEach((coefficient, column) => {
      expect(problem.solution[column]).toBeCloseTo(coefficient, 5)
    })
  })

  it('a column of zeros gets nothing, and does no harm', () => {
    const problem = newLeastSquares(2)
    problem.row[0] = 1
    for (const y of [1, 2, 3]) addRow(problem, y)
    expect(solve(problem)).toBeCloseTo(2, 5)
    expect([...problem.solution]).toEqual([expect.closeTo(2, 5), 0])
  })

  it('two columns that are the same share the coefficient', () => {
    const problem = newLeastSquares(2)
    for (let x = 1; x < 9; x += 1) {
      problem.row.fill(x)
      addRow(problem, 4 * x)
    }
    solve(problem)
    expect(problem.solution[0]! + problem.solution[1]!).toBeCloseTo(4, 4)
    expect([...problem.solution].every(Number.isFinite)).toBe(true)
  })

  it('without a row gives zeros', () => {
    const problem = newLeastSquares(3)
    expect(solve(problem)).toBe(0)
    expect([...problem.solution]).toEqual([0, 0, 0])
  })

  it('is used again after a clear', () => {
    const problem = newLeastSquares(1)
    problem.row[0] = 1
    addRow(problem, 100)
    solve(problem)
    clearLeastSquares(problem)
    addRow(problem, 7)
    expect(solve(problem)).toBeLessThan(1e-6)
    expect(problem.solution[0]).toBeCloseTo(7, 6)
  })

  it('damped columns move less, the others as they must', () => {
    const solved = (share: number) => {
      const problem = newLeastSquares(2)
      for (const x of [1, 2, 3, 4]) {
        problem.row.set([1, x - 2.5])
        addRow(problem, 10 + 2 * (x - 2.5))
      }
      damp(problem, 1, share)
      solve(problem)
      return [...problem.solution]
    }
    // The columns are orthogonal, so a slope of 1 + share times the weight is so much flatter.
    for (const [share, slope] of [
      [0, 2],
      [1, 1],
      [3, 0.5],
    ] as const)
      expect(solved(share)).toEqual([expect.closeTo(10, 6), expect.closeTo(slope, 6)])
  })
})
