import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { makeTraceRing } from '../../../../dashboard/live/trace-ring.ts'

const pointsOf = (ring: ReturnType<typeof makeTraceRing>) => {
  const [times, angles] = ring.view()
  return [...times].map((timeS, i) => [timeS, angles[i]])
}

describe('a trace ring', () => {
  test('keeps points in order', () => {
    const ring = makeTraceRing(10)
    for (const i of [0, 1, 2]) expect(ring.push(i, 10 * i)).toBe(true)
    expect(pointsOf(ring)).toEqual([
      [0, 0],
      [1, 10],
      [2, 20],
    ])
    expect(ring.length).toBe(3)
  })

  test('is empty after clear, and takes earlier times again', () => {
    const ring = makeTraceRing(4)
    ring.push(5, 1)
    ring.clear()
    expect(ring.length).toBe(0)
    expect(ring.push(1, 2)).toBe(true)
    expect(pointsOf(ring)).toEqual([[1, 2]])
  })

  test('when full, the oldest goes', () => {
    const ring = makeTraceRing(3)
    for (let i = 0; i < 5; i++) ring.push(i, i)
    expect(pointsOf(ring).map(([timeS]) => timeS)).toEqual([2, 3, 4])
  })

  test.each([
    ['time that stands still', 1, 5],
    ['time that runs back', 0.5, 5],
    ['a time that is none', Number.NaN, 5],
    ['an angle that is none', 2, Number.NaN],
    ['an angle without bound', 2, Number.POSITIVE_INFINITY],
  ])('refuses %s', (_, timeS, angleDeg) => {
    const ring = makeTraceRing(4)
    ring.push(1, 1)
    expect(ring.push(timeS, angleDeg)).toBe(false)
    expect(pointsOf(ring)).toEqual([[1, 1]])
  })

  test('thins what comes faster than its spacing', () => {
    const ring = makeTraceRing(100, 0.1)
    for (let i = 0; i <= 100; i++) ring.push(i / 100, i)
    expect(ring.length).toBeLessThanOrEqual(11)
    expect(ring.length).toBeGreaterThanOrEqual(10)
  })

  test.each([0, -1, 1.5, Number.NaN])('is not made for %s points', (pointsMax) => {
    expect(() => makeTraceRing(pointsMax)).toThrow(RangeError)
  })

  test('agrees with a plain array whatever is pushed (seed 20261)', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 7 }),
        fc.array(fc.oneof(fc.constant('clear' as const), fc.double({ min: -9, max: 9 })), {
          maxLength: 200,
        }),
        (pointsMax, steps) => {
          const ring = makeTraceRing(pointsMax)
          let model: number[][] = []
          let timeS = 0
          for (const step of steps) {
            timeS += 1
            if (step === 'clear') {
              ring.clear()
              model = []
            } else if (ring.push(timeS, step)) model = [...model, [timeS, step]].slice(-pointsMax)
            expect(ring.length).toBe(model.length)
          }
          expect(pointsOf(ring)).toEqual(model)
        },
      ),
      { seed: 20261, numRuns: 200 },
    )
  })
})
