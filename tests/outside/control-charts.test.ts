import { describe, expect, it } from 'vitest'
import { bendChartSteps } from '../../server/quality/bend-charts.ts'
import { cusum } from '../../server/quality/cusum.ts'
import { ewma } from '../../server/quality/ewma.ts'
import { inOneGo } from '../../server/quality/in-one-go.ts'
import { individualsChart } from '../../server/quality/individuals-chart.ts'
import {
  EIGHT_RULES_1984,
  FOUR_RULES_1956,
  type RunRule,
  runFindings,
} from '../../server/quality/run-rules.ts'
import { c4, givenChart, meanRangeChart } from '../../server/quality/subgroup-chart.ts'
import { chartedOf } from '../support/charted.ts'

const FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]

describe('NIST/SEMATECH e-Handbook', () => {
  it('6.3.2.2, individuals chart: as printed, limits with d2 = 1.128', () => {
    const chart = individualsChart(FLOW)!
    expect(chart.centre).toBeCloseTo(50.81, 10)
    expect(chart.meanRange).toBeCloseTo(1.8778, 4)
    expect(chart.upper).toBeCloseTo(55.8041, 4)
    expect(chart.lower).toBeCloseTo(45.8159, 4)
    expect(chart.upper).toBeCloseTo(55.80408983451537, 10)
    expect(chart.upperRange).toBeCloseTo(6.1347, 4)
    expect(chart.beyond).toEqual([])
    expect(chart.constants).toEqual({ d2: 1.128, D4: 3.267, sigmas: 3 })
  })

  it('6.3.2.2, the same values as the errors of ten bends', () => {
    const nothing = { stopDeg: NaN, tubeDeg: NaN, aimDeg: NaN, expandedDeg: NaN }
    const bends = FLOW.map((offDeg, i) => ({
      ...{ id: i + 1, startedMs: i, lot: 'L-1', die: 'A', station: 'S', offDeg },
      ...{ wantedDeg: 90, toleranceDeg: 60 },
      ...{ springbackDeg: 3, isVoid: false, ...nothing },
    }))
    const { error } = inOneGo(bendChartSteps(chartedOf(bends)))
    expect(error?.meanDeg).toBeCloseTo(50.81, 10)
    expect(error?.meanRangeDeg).toBeCloseTo(1.8777777777777784, 10)
    expect(error?.upperDeg).toBeCloseTo(55.80408983451537, 10)
    expect(error?.lowerDeg).toBeCloseTo(45.81591016548463, 10)
  })

  it('6.3.2.3, CUSUM: out from group 14 on', () => {
    const means = [
      324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625,
      325.15, 328.325, 327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
    ]
    const chart = cusum(means, { target: 325, k: 0.3175, h: 4.1959 })
    expect(chart.signals.map((place) => place + 1)).toEqual([14, 15, 16, 17, 18, 19, 20])
    expect(chart.high[12]).toBeCloseTo(3.0075, 10)
    expect(chart.high[19]).toBeCloseTo(19.035, 10)
    expect(chart.low[7]).toBeCloseTo(0.715, 10)
    expect(chart.low[12]).toBe(0)
  })

  const TWENTY = [52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, ...FLOW]
  const SETTINGS = { centre: 50, sigma: 2.0539, lambda: 0.3, width: 3 }

  it('6.3.2.4, EWMA: averages as printed, in control (its LCL is cut off, not rounded)', () => {
    const printed = [
      50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52,
      50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
    ]
    const chart = ewma(TWENTY, { ...SETTINGS, limits: 'late' })
    expect(chart.averages.map((value) => Number(value.toFixed(2)))).toEqual(printed)
    expect(chart.upper[0]).toBeCloseTo(52.5884, 4)
    expect(Math.abs(chart.lower[0]! - 47.4115)).toBeLessThan(1e-4)
    expect(chart.signals).toEqual([])
  })

  it('6.3.2.4, limits that open with time (recomputed, not printed there)', () => {
    const { upper } = ewma(TWENTY, { ...SETTINGS, limits: 'exact' })
    const expected = [51.84851, 52.256394, 52.431406, 52.512715, 52.551611]
    for (const [i, value] of expected.entries()) expect(upper[i]).toBeCloseTo(value, 5)
  })
})

describe('ISO 7870-2:2013, worked charts (pages 25 to 30)', () => {
  const means = [
    14.0764, 14.0726, 14.0754, 14.077, 14.0708, 14.0698, 14.077, 14.0744, 14.0704, 14.0744, 14.0766,
    14.0568, 14.0768, 14.0692, 14.0716, 14.0748, 14.0754, 14.0734, 14.0748, 14.0754, 14.0732,
    14.074, 14.0708, 14.076, 14.0722,
  ]
  const ranges = [
    0.01, 0.012, 0.008, 0.007, 0.025, 0.025, 0.009, 0.025, 0.009, 0.022, 0.009, 0.011, 0.023, 0.012,
    0.019, 0.021, 0.017, 0.017, 0.035, 0.033, 0.017, 0.025, 0.017, 0.017, 0.018,
  ]

  it('means and ranges: subgroup 12 is low', () => {
    const chart = meanRangeChart(means, ranges, 5)
    expect(chart.means.centre).toBeCloseTo(14.0732, 4)
    expect(chart.means.upper).toBeCloseTo(14.0834, 4)
    expect(chart.means.lower).toBeCloseTo(14.0629, 4)
    expect(chart.ranges.upper).toBeCloseTo(0.0375, 4)
    expect(means.findIndex((mean) => mean < chart.means.lower)).toBe(11)
  })

  it('without subgroup 12', () => {
    const rest = (list: number[]) => list.filter((_, i) => i !== 11)
    const chart = meanRangeChart(rest(means), rest(ranges), 5)
    expect(chart.means.centre).toBeCloseTo(14.07385, 5)
    expect(chart.means.upper).toBeCloseTo(14.0842, 4)
    expect(chart.means.lower).toBeCloseTo(14.0635, 4)
    expect(chart.ranges.upper).toBeCloseTo(0.0381, 4)
  })

  it('mean and sigma given: the last digit of s hangs on the table, 0.1218 with its factor', () => {
    const chart = givenChart(29.87, 0.062, 5)
    expect(chart.means.upper).toBeCloseTo(29.953, 3)
    expect(chart.means.lower).toBeCloseTo(29.787, 3)
    expect(chart.deviations.centre).toBeCloseTo(0.0583, 4)
    expect(Math.abs(chart.deviations.upper - 0.1218)).toBeLessThan(1e-4)
    expect(chart.deviations.lower).toBe(0)
  })

  it('c4 of 2 to 10 (integrated apart from this program)', () => {
    const expected = [0.797885, 0.886227, 0.921318, 0.939986, 0.951533, 0.959369, 0.96503, 0.969311]
    for (const [i, value] of expected.entries()) expect(c4(i + 2)).toBeCloseTo(value, 6)
    expect(c4(10)).toBeCloseTo(0.972659, 6)
  })
})

const eight = (place: number) => EIGHT_RULES_1984[place - 1]!
const SIDE = [-0.1, 0.3, 0.5, 0.2, 0.9, 0.4, 0.6, 0.1, 0.8, 0.3]
const TREND = [-0.5, -0.2, 0.1, 0.4, 0.9, 1.3, 1.7, -0.2]
const CALM = [0.5, -0.3, 0.2, -0.6, 0.1, 0.7, -0.2, 0.4, -0.8, 0.3, -0.1, 0.6, -0.4, 0.2, -0.7, 0.9]

/** Rules: handbook of 1956 and J. Quality Technology 16(4), 1984. Places, from 1, were computed apart from this program. */
const VECTORS: readonly (readonly [RunRule, readonly number[], number | null])[] = [
  [eight(1), [0.2, -0.4, 3.2, 0.1], 3],
  [eight(1), [3, 2.999, -3], null],
  [eight(5), [3, 2.999, -3], 3],
  [{ name: 'side', length: 7 }, SIDE, 8],
  [FOUR_RULES_1956[3]!, SIDE, 9],
  [eight(2), SIDE, 10],
  [{ name: 'side', length: 7 }, [0.3, 0.2, 0.4, 0.5, 0, 0.1, 0.3, 0.2, 0.6, 0.4], null],
  [eight(3), TREND, 6],
  [{ name: 'trend', length: 7 }, TREND, 7],
  [eight(3), [1, 2, 3, 3, 4, 5, 6], null],
  [eight(4), Array.from({ length: 14 }, (_, i) => (i % 2 === 0 ? 0.5 : -0.5)), 14],
  [eight(5), [0.1, 2.3, 0.4, 2.6, -0.2], 4],
  [eight(6), [0.2, 1.2, 1.4, 0.3, 1.1, 1.8, -0.4], 6],
  [eight(7), CALM, 15],
  [eight(8), [1.4, -1.6, 1.2, 1.9, -1.3, -1.1, 1.5, -1.8, 0.1], 8],
]

it.each(VECTORS)('run rule %j of %j is first broken at %j', (rule, values, first) => {
  const place = runFindings(values, 0, 1, [rule])[0]?.places[0]
  expect(place === undefined ? null : place + 1).toBe(first)
})
