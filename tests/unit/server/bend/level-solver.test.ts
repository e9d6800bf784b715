import { determinant, inverse, Matrix } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import {
  addPart,
  clearSystem,
  copySystem,
  logIntegral,
  newLevelSystem,
  solveLastTwo,
  swapNodes,
} from '../../../../server/bend/level-solver.ts'

const PRECISION = [
  [5, 1, 0.5, 0],
  [1, 4, -1, 0.25],
  [0.5, -1, 6, 1],
  [0, 0.25, 1, 3],
]
const RIGHT = [1, -2, 0.5, 3]
const covariance = inverse(new Matrix(PRECISION))
const mean = covariance.mmul(Matrix.columnVector(RIGHT))

function system() {
  const made = newLevelSystem()
  made.size = 4
  addPart(made, { at: [0, 1, 2, 3], precision: PRECISION.flat(), right: RIGHT })
  return made
}

describe('solveLastTwo', () => {
  it.each([
    [2, 3],
    [0, 3],
    [1, 3],
  ])('unknowns %d and %d, swapped to the end, as a matrix inverse has them', (first, second) => {
    const made = system()
    swapNodes(made, first, 2)
    const pair = solveLastTwo(made)
    expect(pair.mean[0]).toBeCloseTo(mean.get(first, 0), 12)
    expect(pair.mean[1]).toBeCloseTo(mean.get(second, 0), 12)
    expect(pair.firstVariance).toBeCloseTo(covariance.get(first, first), 12)
    expect(pair.covariance).toBeCloseTo(covariance.get(first, second), 12)
    expect(pair.secondVariance).toBeCloseTo(covariance.get(second, second), 12)
  })
})

it('logIntegral is −½·log det + ½·right·mean', () => {
  const expected =
    (-Math.log(determinant(new Matrix(PRECISION))) +
      Matrix.columnVector(RIGHT).transpose().mmul(mean).get(0, 0)) /
    2
  expect(logIntegral(system())).toBeCloseTo(expected, 12)
})

it('a part added and taken off again leaves the rest', () => {
  const [made, before] = [system(), system()]
  const part = { at: [3, 1], precision: [2, 0.5, 0.5, 1], right: [1, 7] }
  addPart(made, part)
  expect(made.right[1]).toBe(5)
  addPart(made, part, -1)
  expect(made).toEqual(before)
})

it('copying over a larger one, and clearing, leave nothing behind', () => {
  const large = system()
  const small = newLevelSystem()
  small.size = 1
  addPart(small, { at: [0], precision: [2], right: [3] })
  copySystem(small, large)
  expect(large).toEqual(small)
  clearSystem(large, 1)
  expect(large.precision.every((value) => value === 0)).toBe(true)
})
