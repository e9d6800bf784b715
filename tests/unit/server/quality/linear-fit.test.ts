import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fitLinear, leaveOneOut, spreadOf } from '../../../../server/quality/linear-fit.ts'

const line = (xs: readonly number[]) => xs.map((x) => [1, x])

describe('fitLinear', () => {
  test('a line by hand: (0,0) (1,1) (2,3) is −1/6 + 3/2 x', () => {
    const fit = fitLinear(line([0, 1, 2]), [0, 1, 3])!
    expect(fit.coefficients[0]).toBeCloseTo(-1 / 6, 12)
    expect(fit.coefficients[1]).toBeCloseTo(1.5, 12)
    expect(fit.residualSd).toBeCloseTo(Math.sqrt(1 / 6), 12)
    expect(fit.leverages).toEqual([
      expect.closeTo(5 / 6, 12),
      expect.closeTo(1 / 3, 12),
      expect.closeTo(5 / 6, 12),
    ])
    expect(fit.inverseNormal[1]![1]).toBeCloseTo(1 / 2, 12)
  })

  test('through as many points as unknowns: exact, and nothing to spare', () => {
    const fit = fitLinear(line([10, 20]), [1, 3])!
    expect(fit.degreesOfFreedom).toBe(0)
    expect(fit.residualSd).toBeNull()
    expect(leaveOneOut(fit)).toBeNull()
  })

  test.each([
    ['one abscissa only', line([5, 5, 5])],
    [
      'a column of zeros',
      [
        [1, 0],
        [1, 0],
        [1, 0],
      ],
    ],
    [
      'a column twice',
      [
        [1, 1, 1],
        [1, 2, 2],
        [1, 3, 3],
      ],
    ],
    ['a column that is not finite', line([1, 2, Infinity])],
    ['a column that is no number', line([1, 2, Number.NaN])],
  ])('%s determines nothing', (_, rows) => {
    expect(fitLinear(rows, [1, 2, 3])).toBeNull()
  })

  test.each([
    ['fewer rows than columns', [[1, 2]], [1]],
    ['no rows', [], []],
    ['rows without columns', [[], []], [1, 2]],
    ['more values than rows', line([1, 2]), [1, 2, 3]],
    ['a shorter row', [[1, 2], [1], [1, 3]], [1, 2, 3]],
  ])('%s is a mistake', (_, rows, values) => {
    expect(() => fitLinear(rows, values)).toThrow(RangeError)
  })
})

const noisyLine = fc
  .array(fc.tuple(fc.integer({ min: -300, max: 300 }), fc.integer({ min: -500, max: 500 })), {
    minLength: 4,
    maxLength: 30,
  })
  .filter((points) => new Set(points.map(([x]) => x)).size >= 3)

test('leaving out is as fitting again without each point (seed 11)', () => {
  fc.assert(
    fc.property(noisyLine, (points) => {
      const fitOf = (some: typeof points) =>
        fitLinear(
          line(some.map(([x]) => x)),
          some.map(([, y]) => y),
        )!
      const off = points.map(([x, y], i) => {
        const [a, b] = fitOf(points.toSpliced(i, 1)).coefficients
        return y - a! - b! * x
      })
      const rms = Math.sqrt(off.reduce((sum, each) => sum + each ** 2, 0) / off.length)
      const quick = leaveOneOut(fitOf(points))!
      expect(Math.abs(quick - rms)).toBeLessThanOrEqual(1e-8 * (1 + rms))
    }),
    { seed: 11, numRuns: 200 },
  )
})

describe('spreadOf', () => {
  test('of the slope is √((XᵀX)⁻¹)₂₂, of nothing 0', () => {
    const fit = fitLinear(line([0, 1, 2]), [0, 1, 3])!
    expect(spreadOf(fit, [0, 1])).toBeCloseTo(Math.SQRT1_2, 12)
    expect(spreadOf(fit, [0, 0])).toBe(0)
  })

  test('grows with the distance along a line, exactly', () => {
    const fit = fitLinear(line([3, 30, 60, 91]), [3, 31, 60, 92])!
    expect(spreadOf(fit, [0, 180]) / spreadOf(fit, [0, 90])).toBeCloseTo(2, 12)
  })

  test('a change of another length is a mistake', () => {
    const fit = fitLinear(line([0, 1, 2]), [0, 1, 3])!
    expect(() => spreadOf(fit, [0, 1, 2])).toThrow(RangeError)
  })
})
