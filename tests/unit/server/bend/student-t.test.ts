import { describe, expect, it } from 'vitest'
import { studentBelow } from '../../../../server/bend/student-t.ts'

describe('studentBelow', () => {
  it.each([1, 2, 5, 6, 1000])('is a half at 0 and symmetrical (%d degrees)', (freedom) => {
    expect(studentBelow(0, freedom)).toBe(0.5)
    for (const t of [0.3, 1, 2.5, 9])
      expect(studentBelow(t, freedom) + studentBelow(-t, freedom)).toBeCloseTo(1, 14)
  })

  it.each([
    [1, 1, 0.75],
    [Math.SQRT2, 2, 0.5 + Math.SQRT2 / 4],
    [Math.sqrt(3), 3, 3 / 4 + 1 / (2 * Math.PI)],
  ])('closed forms: t %d with %d degrees', (t, freedom, p) => {
    expect(studentBelow(t, freedom)).toBeCloseTo(p, 14)
  })

  it('grows with t, and stays a probability', () => {
    let before = 0
    for (let t = -40; t <= 40; t += 0.5) {
      const p = studentBelow(t, 7)
      expect(p).toBeGreaterThan(before)
      expect(p).toBeLessThanOrEqual(1)
      before = p
    }
  })

  it('a fraction of a degree is dropped; beyond 1000 the limit is taken', () => {
    expect(studentBelow(-2, 6.9)).toBe(studentBelow(-2, 6))
    expect(studentBelow(-2, 1e6)).toBe(studentBelow(-2, 1000))
    // Φ(−2) from the normal table.
    expect(studentBelow(-2, 1e6)).toBeCloseTo(0.02275, 3)
  })

  it('not a number stays not a number', () => expect(studentBelow(Number.NaN, 6)).toBeNaN())
})
