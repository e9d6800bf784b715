import { describe, expect, test } from 'vitest'
import { individualsChart } from '../../../../server/quality/individuals-chart.ts'
import { summaryOf } from '../../../../server/quality/summary.ts'

describe('individualsChart', () => {
  test('by hand: 0, 1.128 has sigma 1 and three of them either way', () => {
    const chart = individualsChart([0, 1.128])!
    expect(chart.sigma).toBeCloseTo(1, 12)
    expect(chart.centre).toBeCloseTo(0.564, 12)
    expect(chart.upper).toBeCloseTo(3.564, 12)
    expect(chart.lower).toBeCloseTo(-2.436, 12)
    expect(chart.upperRange).toBeCloseTo(3.267 * 1.128, 12)
  })

  test('the same value again and again is on its limits, and none is beyond', () => {
    const chart = individualsChart([0.02, 0.02, 0.02])!
    expect(chart.sigma).toBe(0)
    expect(chart.beyond).toEqual([])
  })

  test('names the value that is beyond, above or below', () => {
    const calm = [0, 0.1, 0, 0.1, 0, 0.1, 0, 0.1, 0, 0.1]
    expect(individualsChart([...calm, 5])!.beyond).toEqual([10])
    expect(individualsChart([-5, ...calm])!.beyond).toEqual([0])
  })

  test('the order counts: ranges are of neighbours', () => {
    const mixed = individualsChart([0, 4, 1, 3, 2])!
    const sorted = individualsChart([0, 1, 2, 3, 4])!
    expect(mixed.centre).toBe(sorted.centre)
    expect(mixed.sigma).toBeGreaterThan(2 * sorted.sigma)
  })

  test.each([[[]], [[1]]])('%j has no range', (values) => {
    expect(individualsChart(values)).toBeNull()
  })

  test('takes its scale from the whole of a long run', () => {
    const values = new Float64Array((1 << 17) + 2)
    values[0] = 1e200
    values[1] = -1e200
    values[values.length - 1] = 1
    const { mean, sd } = summaryOf(values)
    expect(Math.abs(mean)).toBeLessThan(1e190)
    expect(sd! / (1e200 * Math.sqrt(2 / (values.length - 1)))).toBeCloseTo(1, 12)
  })

  test('loses nothing where a long run is gone through in stretches', () => {
    const [zeros, ones] = [1 << 17, 2]
    const values = new Float64Array(zeros + ones).fill(1, zeros)
    const n = values.length
    const chart = individualsChart(values)!
    expect(chart.meanRange).toBeCloseTo(1 / (n - 1), 15)
    expect(chart.beyondRange).toEqual([zeros])
    expect(chart.beyond).toEqual(Array.from({ length: ones }, (_, i) => zeros + i))
    const { mean, sd } = summaryOf(values)
    expect(mean).toBeCloseTo(ones / n, 15)
    // n p (1 − p) squares over n − 1.
    expect(sd).toBeCloseTo(Math.sqrt((ones * (1 - ones / n)) / (n - 1)), 14)
  })
})
