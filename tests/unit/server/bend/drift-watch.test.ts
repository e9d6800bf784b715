import { describe, expect, it } from 'vitest'
import {
  ALARM_HEIGHT,
  CUSUM_START,
  type Cusum,
  driftOf,
  normalScore,
  stepCusum,
} from '../../../../server/bend/drift-watch.ts'

const summed = (scores: readonly number[]): Cusum => scores.reduce(stepCusum, CUSUM_START)

describe('stepCusum and driftOf', () => {
  it('stands still at the slack', () => expect(summed([0.5, -0.5, 0.5])).toEqual(CUSUM_START))

  it('alarms at the height, not below', () => {
    expect(driftOf(summed([5.49]))).toBeNull()
    expect(driftOf(summed([ALARM_HEIGHT + 0.5]))).toEqual({ way: 'more', run: 1 })
    expect(driftOf(summed([-2, -2, -2, -2]))).toEqual({ way: 'less', run: 4 })
  })

  it('the run starts after the sum last stood at 0', () => {
    expect(driftOf(summed([1, -3, 0.2, 2, 2, 2, 2]))).toEqual({ way: 'more', run: 4 })
  })

  it('mirrored scores give the mirrored sums', () => {
    const scores = [0.3, -1.2, 2, 0.9, -0.1, 1.4]
    const [plain, mirrored] = [summed(scores), summed(scores.map((z) => -z))]
    expect(mirrored).toEqual({
      upper: plain.lower,
      lower: plain.upper,
      upperRun: plain.lowerRun,
      lowerRun: plain.upperRun,
    })
  })

  it.each([Number.NaN, Infinity, -Infinity])('%d leaves the sums as they are', (z) => {
    const sums = summed([1, 2])
    expect(stepCusum(sums, z)).toBe(sums)
  })
})

describe('normalScore', () => {
  it('is odd, and 0 at 0', () => {
    expect(normalScore(0, 6)).toBe(0)
    expect(normalScore(-1.7, 6)).toBe(-normalScore(1.7, 6))
  })

  it('shrinks long tails and leaves many degrees alone', () => {
    expect(normalScore(4, 6)).toBeLessThan(3)
    expect(normalScore(2, 1e6)).toBeCloseTo(2, 4)
  })
})
