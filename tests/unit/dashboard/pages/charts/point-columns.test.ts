import { describe, expect, test } from 'vitest'
import {
  type ChartPoint,
  columnsOf,
  heightsOf,
} from '../../../../../dashboard/pages/charts/point-columns.ts'

const point = (place: number, deg: number, toleranceDeg: number | null = 0.5): ChartPoint => ({
  ...{ id: 90 + place, place, deg, toleranceDeg, changed: [] },
  ...{ isBroken: false, isVoid: false },
})
const NO_LINES = { centreDeg: null, limitsDeg: [] }

describe('a chart of single values', () => {
  test('has each at its place, with the tolerance about zero; a void one has none', () => {
    expect(columnsOf([point(7, 0.1), point(9, -0.2, null)])).toEqual([
      [7, 9],
      [0.5, null],
      [-0.5, null],
      [0.1, -0.2],
    ])
  })

  test('shows all that is drawn: values, tolerance, limits, mean', () => {
    const [least, most] = heightsOf([point(1, 0.1)], { centreDeg: 0.1, limitsDeg: [-2, 3] })
    expect(least).toBeLessThan(-2)
    expect(most).toBeGreaterThan(3)
    const [low, high] = heightsOf([point(1, 0.1)], NO_LINES)
    expect(low).toBeLessThan(-0.5)
    expect(high).toBeGreaterThan(0.5)
  })

  test('of equal values, or of none, it still has a height', () => {
    const [least, most] = heightsOf([point(1, 1, null), point(2, 1, null)], NO_LINES)
    expect(most - least).toBeGreaterThan(0)
    expect(heightsOf([], NO_LINES)).toEqual([0, 0.1])
  })
})
