import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { labelPlaces } from '../../../../../dashboard/pages/sensor/chart-labels.ts'

const APART = 16
const HEIGHT = 220

describe('labels beside their lines', () => {
  test('that are far apart stay where their lines are', () => {
    expect(labelPlaces([110, 30, 190], APART, HEIGHT)).toEqual([110, 30, 190])
    expect(labelPlaces([], APART, HEIGHT)).toEqual([])
  })

  test('that would lie on one another move apart, the lower one down', () => {
    expect(labelPlaces([100, 104, 90], APART, HEIGHT)).toEqual([106, 122, 90])
  })

  test('at the edge move in', () => {
    expect(labelPlaces([0, 220], APART, HEIGHT)).toEqual([8, 212])
    expect(labelPlaces([210, 219], APART, HEIGHT)).toEqual([196, 212])
  })

  test('never meet, leave the sheet or change places, wherever five lines are', () => {
    const lines = fc.array(fc.integer({ min: 0, max: HEIGHT }), { minLength: 5, maxLength: 5 })
    fc.assert(
      fc.property(lines, (ys) => {
        const placed = labelPlaces(ys, APART, HEIGHT)
        const byLine = placed.map((place, i) => [ys[i]!, place] as const)
        const inOrder = byLine
          .toSorted(([a, p], [b, q]) => a - b || p - q)
          .map(([, place]) => place)
        expect(inOrder).toEqual(placed.toSorted((a, b) => a - b))
        for (const [i, place] of inOrder.entries()) {
          expect(place).toBeGreaterThanOrEqual(APART / 2)
          expect(place).toBeLessThanOrEqual(HEIGHT - APART / 2)
          if (i > 0) expect(place - inOrder[i - 1]!).toBeGreaterThanOrEqual(APART)
        }
      }),
    )
  })
})
