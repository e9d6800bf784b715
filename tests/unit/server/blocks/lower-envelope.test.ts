import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { lowerEnvelope } from '../../../../server/blocks/lower-envelope.ts'

const heightAt = (line: { x: number; y: number; slope: number }, x: number) =>
  line.y + line.slope * (x - line.x)

test('two points make their line', () => {
  expect(lowerEnvelope([0, 2], [1, 5])).toEqual({ x: 0, y: 1, slope: 2 })
})

test('delays above a line do not move it', () => {
  const line = lowerEnvelope([0, 1, 2, 3, 4], [0, 9, 2, 7, 4])
  expect(line.slope).toBe(1)
  expect(heightAt(line, 0)).toBe(0)
})

test('all on one line', () => {
  expect(lowerEnvelope([0, 1, 2, 3], [5, 5, 5, 5]).slope).toBe(0)
})

describe.each([[[]], [[1]]])('of %j there is none', (xs) => {
  test('it says so', () => {
    expect(() => lowerEnvelope(xs, xs)).toThrow(/two points/)
  })
})

test('no point lies below it, and no line below all points is closer to them (seed 5)', () => {
  const ys = fc.array(fc.integer({ min: 0, max: 1000 }), { minLength: 2, maxLength: 24 })
  fc.assert(
    fc.property(ys, (heights) => {
      const xs = heights.map((_, nth) => nth)
      const line = lowerEnvelope(xs, heights)
      const distance = (candidate: typeof line) =>
        heights.reduce((sum, y, x) => sum + (y - heightAt(candidate, x)), 0)
      for (const [x, y] of heights.entries()) expect(y - heightAt(line, x)).toBeGreaterThan(-1e-9)
      // The best line touches two points (a corner of the linear program), so all pairs are all candidates.
      for (const a of xs)
        for (const b of xs.slice(a + 1)) {
          const through = { x: a, y: heights[a]!, slope: (heights[b]! - heights[a]!) / (b - a) }
          const isBelow = heights.every((y, x) => y - heightAt(through, x) > -1e-9)
          if (isBelow) expect(distance(line)).toBeLessThan(distance(through) + 1e-6)
        }
    }),
    { seed: 5 },
  )
})
