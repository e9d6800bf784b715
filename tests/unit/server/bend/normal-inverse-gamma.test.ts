import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  beliefFrom,
  meanOf,
  meanWithin,
  type NormalInverseGamma,
  observe,
  predictAt,
  type Row,
} from '../../../../server/bend/normal-inverse-gamma.ts'

const SEED = 4103

const PRIOR = { mean: [0.5, 0.03], precision: [0.25, 2000], shape: 3, rate: 0.08 } as const
const FLAT = { mean: [0, 0], precision: [0, 0], shape: -1, rate: 0 } as const
const NO_LIMITS = { firstMin: -1e9, secondMin: -1e9, secondMax: 1e9 }

const observations = fc.array(
  fc.tuple(
    fc.double({ min: 5, max: 150, noNaN: true }),
    fc.double({ min: 0.1, max: 6, noNaN: true }),
  ),
  { minLength: 1, maxLength: 30 },
)

const fold = (start: NormalInverseGamma, pairs: readonly (readonly [number, number])[]) =>
  pairs.reduce((belief, [x, y]) => observe(belief, [1, x], y), start)

/** The textbook's normal equations, all bends at once. */
function textbook(pairs: readonly (readonly [number, number])[]) {
  const [p, q] = PRIOR.precision
  const [a0, b0] = PRIOR.mean
  let [l11, l12, l22, h1, h2, yy] = [p as number, 0, q as number, p * a0, q * b0, 0]
  for (const [x, y] of pairs) {
    l11 += 1
    l12 += x
    l22 += x * x
    h1 += y
    h2 += x * y
    yy += y * y
  }
  const det = l11 * l22 - l12 * l12
  const mean = [(l22 * h1 - l12 * h2) / det, (l11 * h2 - l12 * h1) / det] as const
  const priorSquare = p * a0 * a0 + q * b0 * b0
  const rate = PRIOR.rate + (yy + priorSquare - mean[0] * h1 - mean[1] * h2) / 2
  return { mean, rate, shape: PRIOR.shape + pairs.length / 2, covariance: [l22 / det, l11 / det] }
}

describe('observe', () => {
  it('is the textbook’s batch update (seed 4103)', () =>
    fc.assert(
      fc.property(observations, (pairs) => {
        const belief = fold(beliefFrom(PRIOR), pairs)
        const expected = textbook(pairs)
        expect(meanOf(belief)[0]).toBeCloseTo(expected.mean[0], 7)
        expect(meanOf(belief)[1]).toBeCloseTo(expected.mean[1], 9)
        expect(belief.rate).toBeCloseTo(expected.rate, 7)
        expect(belief.shape).toBe(expected.shape)
        const variance = belief.rate / belief.shape
        const interceptSe = Math.sqrt(variance * expected.covariance[0]!)
        expect(predictAt(belief, [1, 0]).lineScale / interceptSe).toBeCloseTo(1, 6)
      }),
      { seed: SEED },
    ))

  it('does not mind the order, but for the last digits (seed 4103)', () =>
    fc.assert(
      fc.property(observations, (pairs) => {
        const forward = fold(beliefFrom(PRIOR), pairs)
        const backward = fold(beliefFrom(PRIOR), [...pairs].reverse())
        expect(meanOf(forward)[1]).toBeCloseTo(meanOf(backward)[1], 11)
        expect(forward.rate).toBeCloseTo(backward.rate, 10)
      }),
      { seed: SEED },
    ))

  it('gives the same digits when folded again (seed 4103)', () =>
    fc.assert(
      fc.property(observations, (pairs) => {
        const stored = JSON.parse(JSON.stringify(pairs)) as [number, number][]
        expect(fold(beliefFrom(PRIOR), stored)).toEqual(fold(beliefFrom(PRIOR), pairs))
      }),
      { seed: SEED },
    ))

  it('leaves the belief before it as it was', () => {
    const before = beliefFrom(PRIOR)
    const copy = { ...before }
    observe(before, [1, 90], 3)
    expect(before).toEqual(copy)
  })

  it('a flat prior fits a straight line exactly, and says so', () => {
    const belief = fold(beliefFrom(FLAT), [
      [10, 1.5],
      [20, 2],
      [40, 3],
    ])
    expect(meanOf(belief)[0]).toBeCloseTo(1, 13)
    expect(meanOf(belief)[1]).toBeCloseTo(0.05, 14)
    expect(belief.rate).toBeLessThan(1e-28)
  })

  it.each([
    [[Number.NaN, 1], 1],
    [[1, Infinity], 1],
    [[1, 2], Number.NaN],
    [[1, 2], -Infinity],
  ] as const)('%o, %d is refused', (row, y) => {
    const code = 'BELIEF_OBSERVATION'
    expect(() => observe(beliefFrom(PRIOR), row, y)).toThrow(expect.objectContaining({ code }))
  })
})

describe('beliefFrom', () => {
  it('means what it was given', () => {
    const belief = beliefFrom(PRIOR)
    expect(meanOf(belief)[0]).toBeCloseTo(0.5, 15)
    expect(meanOf(belief)[1]).toBeCloseTo(0.03, 15)
    expect(predictAt(belief, [1, 0]).lineScale).toBeCloseTo(Math.sqrt(0.08 / 3 / 0.25), 14)
    expect(predictAt(belief, [1, 0]).degreesOfFreedom).toBe(6)
  })

  it.each([
    ['precision below 0', { ...PRIOR, precision: [-1, 1] }],
    ['second precision NaN', { ...PRIOR, precision: [1, Number.NaN] }],
    ['mean infinite', { ...PRIOR, mean: [Infinity, 0] }],
    ['mean NaN', { ...PRIOR, mean: [0, Number.NaN] }],
    ['shape below −1', { ...PRIOR, shape: -1.5 }],
    ['shape NaN', { ...PRIOR, shape: Number.NaN }],
    ['rate below 0', { ...PRIOR, rate: -0.1 }],
    ['rate infinite', { ...PRIOR, rate: Infinity }],
  ] as const)('%s is refused', (_name, prior) => {
    expect(() => beliefFrom(prior)).toThrow(expect.objectContaining({ code: 'BELIEF_PRIOR' }))
  })
})

describe('too little to know', () => {
  const undetermined = expect.objectContaining({ code: 'BELIEF_UNDETERMINED' })

  it('flat and no observation', () => {
    expect(() => meanOf(beliefFrom(FLAT))).toThrow(undetermined)
    expect(() => meanWithin(beliefFrom(FLAT), NO_LIMITS)).toThrow(undetermined)
  })

  it('flat and all at one abscissa', () => {
    const belief = fold(beliefFrom(FLAT), [[90, 3]])
    expect(() => meanOf(belief)).toThrow(undetermined)
  })

  it('flat and two points: a line, but no spread', () => {
    const belief = fold(beliefFrom(FLAT), [
      [30, 1],
      [90, 3],
    ])
    expect(meanOf(belief)[1]).toBeCloseTo(1 / 30, 14)
    expect(() => predictAt(belief, [1, 60])).toThrow(undetermined)
  })

  it('all at one abscissa is no trouble once there is a prior', () => {
    const belief = fold(beliefFrom(PRIOR), Array(50).fill([90, 3.2]))
    expect(predictAt(belief, [1, 90]).mean).toBeCloseTo(3.2, 2)
  })
})

describe('meanWithin', () => {
  const misfit = (belief: NormalInverseGamma, [first, second]: Row) =>
    (belief.r11 * first + belief.r12 * second - belief.z1) ** 2 +
    (belief.r22 * second - belief.z2) ** 2

  it('is the mean where the mean can be', () => {
    const belief = fold(beliefFrom(PRIOR), [[90, 3.2]])
    expect(meanWithin(belief, NO_LIMITS)).toEqual(meanOf(belief))
  })

  it('is the likeliest of what can be (seed 4103)', () => {
    const limits = { firstMin: -0.3, secondMin: 0, secondMax: 1 }
    const wild = fc.record({
      first: fc.double({ min: -3, max: 3, noNaN: true }),
      second: fc.double({ min: -2, max: 3, noNaN: true }),
      pairs: observations,
      other: fc.tuple(
        fc.double({ min: -0.3, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
      ),
    })
    fc.assert(
      fc.property(wild, ({ first, second, pairs, other }) => {
        const start = beliefFrom({ ...PRIOR, mean: [first, second], precision: [0.25, 20] })
        const belief = fold(start, pairs)
        const best = meanWithin(belief, limits)
        expect(best[0]).toBeGreaterThanOrEqual(-0.3)
        expect(best[1]).toBeGreaterThanOrEqual(0)
        expect(best[1]).toBeLessThanOrEqual(1)
        const slack = 1e-9 * (1 + misfit(belief, other))
        expect(misfit(belief, best)).toBeLessThanOrEqual(misfit(belief, other) + slack)
      }),
      { seed: SEED, numRuns: 2000 },
    )
  })
})

describe('predictAt', () => {
  it('adds the next observation’s own noise to the line’s', () => {
    const belief = fold(beliefFrom(PRIOR), [
      [30, 1.5],
      [90, 3.2],
    ])
    const { scale, lineScale } = predictAt(belief, [1, 60])
    expect(scale ** 2 - lineScale ** 2).toBeCloseTo(belief.rate / belief.shape, 14)
  })
})
