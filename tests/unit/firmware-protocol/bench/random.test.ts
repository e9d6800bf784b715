import { describe, expect, it } from 'vitest'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'

const take = (count: number, draw: () => number): number[] => Array.from({ length: count }, draw)
const mean = (values: readonly number[]): number =>
  values.reduce((a, b) => a + b, 0) / values.length

describe('seeded chance', () => {
  it('gives the same draws for the same seed and stream', () => {
    const first = makeRandom(7, 'tube')
    const second = makeRandom(7, 'tube')
    expect(take(100, () => first.normal())).toEqual(take(100, () => second.normal()))
  })

  it.each([
    ['another seed', makeRandom(8, 'tube')],
    ['another stream', makeRandom(7, 'sensor')],
    ['a seed that only looks alike', makeRandom(70, 'tube')],
  ])('gives other draws for %s', (_what, other) => {
    const first = makeRandom(7, 'tube')
    const draws = take(50, () => first.between(0, 1))
    expect(take(50, () => other.between(0, 1))).not.toEqual(draws)
  })

  it('keeps between its bounds, and fills them evenly (seed 1)', () => {
    const random = makeRandom(1, 'even')
    const draws = take(100_000, () => random.between(-3, 5))
    expect(Math.min(...draws.slice(0, 50_000))).toBeGreaterThanOrEqual(-3)
    expect(Math.max(...draws.slice(0, 50_000))).toBeLessThan(5)
    // Standard error of the mean: 8/√12/√100,000 = 0.0073; five of them.
    expect(Math.abs(mean(draws) - 1)).toBeLessThan(0.037)
    expect(mean(draws.map((value) => (value - 1) ** 2))).toBeCloseTo(64 / 12, 1)
  })

  it('has the moments and the tails of a normal distribution (seed 2)', () => {
    const random = makeRandom(2, 'bell')
    const draws = take(100_000, () => random.normal())
    expect(Math.abs(mean(draws))).toBeLessThan(0.016)
    expect(mean(draws.map((z) => z ** 2))).toBeCloseTo(1, 1)
    expect(mean(draws.map((z) => z ** 4))).toBeCloseTo(3, 0)
    // 4.55 % lie beyond two standard deviations: any table of the normal distribution.
    const beyond = draws.filter((z) => Math.abs(z) > 2).length / draws.length
    expect(beyond).toBeGreaterThan(0.0423)
    expect(beyond).toBeLessThan(0.0487)
  })

  it('never gives a number that is none, for a million draws (seed 3)', () => {
    const random = makeRandom(3, 'finite')
    for (let draw = 0; draw < 1_000_000; draw++)
      if (!Number.isFinite(random.normal())) expect.fail(`draw ${draw} is not finite`)
  })
})
