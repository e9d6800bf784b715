import { describe, expect, it } from 'vitest'
import { backoffS } from '../../../../server/link/backoff.ts'

describe('the wait before the next attempt', () => {
  it.each([
    [0, 0.25],
    [1, 0.5],
    [2, 1],
    [3, 2],
    [4, 4],
    [5, 5],
    [6, 5],
    [1_000_000, 5],
  ])('after %d failures is %d s', (failures, waitS) => {
    expect(backoffS(failures, 0.5)).toBeCloseTo(waitS, 12)
  })

  it('is spread by a fifth either way', () => {
    expect(backoffS(5, 0)).toBeCloseTo(4, 12)
    expect(backoffS(5, 0.999_999)).toBeCloseTo(6, 4)
  })
})
