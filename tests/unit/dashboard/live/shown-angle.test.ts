import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { decimalsFor, stepToShow } from '../../../../dashboard/live/shown-angle.ts'

describe('the last digit is one the uncertainty supports', () => {
  test.each([
    [0.01, 2],
    [0.05, 2],
    [0.051, 1],
    [0.1, 1],
    [0.5, 1],
    [0.51, 0],
    [5, 0],
    [Number.NaN, 0],
    [null, 1],
  ])('an expanded uncertainty of %s° shows %s decimals', (uncertaintyDeg, decimals) => {
    expect(decimalsFor(uncertaintyDeg)).toBe(decimals)
  })
})

describe('the digit on show', () => {
  test('is the rounded one at first', () => {
    expect(stepToShow(12.34, 1, null)).toBe(123)
    expect(stepToShow(-0.06, 1, null)).toBe(-1)
  })

  test('stays within three quarters of a step', () => {
    expect(stepToShow(12.37, 1, 123)).toBe(123)
    expect(stepToShow(12.374, 1, 123)).toBe(123)
    expect(stepToShow(12.376, 1, 123)).toBe(124)
    expect(stepToShow(12.224, 1, 123)).toBe(122)
  })

  test('jumps at once when the angle does', () => {
    expect(stepToShow(40, 1, 123)).toBe(400)
  })

  test('does not flicker on the edge of two digits', () => {
    let shown: number | null = null
    const seen = new Set<number>()
    for (let i = 0; i < 200; i++) {
      shown = stepToShow(12.35 + 0.02 * (i % 2 === 0 ? 1 : -1), 1, shown)
      seen.add(shown)
    }
    expect(seen.size).toBe(1)
  })

  test('is never more than three quarters of a step from the angle (seed 4711)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -30, max: 200, noNaN: true }), { minLength: 1, maxLength: 50 }),
        fc.integer({ min: 0, max: 2 }),
        (angles, decimals) => {
          let shown: number | null = null
          for (const angleDeg of angles) {
            shown = stepToShow(angleDeg, decimals, shown)
            expect(Math.abs(angleDeg * 10 ** decimals - shown)).toBeLessThanOrEqual(0.75 + 1e-9)
          }
        },
      ),
      { seed: 4711, numRuns: 300 },
    )
  })
})
