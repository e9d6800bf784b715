import { describe, expect, test } from 'vitest'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import { type FollowedStop, stopLeadFrom } from '../../../../server/bend/stop-lead.ts'

const stop = (leadS: number, rateDegPerS = 8, moreDeg = 0): FollowedStop => ({
  cueDeg: 90,
  rateDegPerS,
  peakDeg: 90 + leadS * rateDegPerS + moreDeg,
})
const many = (count: number, make: (nth: number) => FollowedStop) =>
  Array.from({ length: count }, (_, nth) => make(nth))

describe('the lead of the stop', () => {
  test('is the prior before any stop was seen', () => {
    expect(stopLeadFrom([])).toEqual({
      leadS: expect.closeTo(0.2, 12),
      standardErrorS: expect.closeTo(0.1, 12),
      stopSdDeg: expect.closeTo(0.14, 12),
      stops: 0,
    })
  })

  // Four stops' worth of the prior's 0.14° and forty of 0.3 s ± 0.03 s at 10° a second, 0.3°; worked by hand.
  test('is as sure as the hand that stops: the scatter about the mark, in degrees', () => {
    const steady = stopLeadFrom(many(40, () => stop(0.3, 10)))
    const unsteady = stopLeadFrom(many(40, (nth) => stop(0.3 + 0.03 * (nth % 2 ? 1 : -1), 10)))
    expect(steady.stopSdDeg).toBeLessThan(0.05)
    expect(unsteady.stopSdDeg).toBeGreaterThan(0.27)
    expect(unsteady.stopSdDeg).toBeLessThan(0.35)
  })

  // Two normals of known spread: prior 0.2 ± 0.1 s, one stop of 0.4 s ± √(0.05² + (0.1/8)²) s, worked by hand.
  test('of one stop is the middle of prior and stop by their variances', () => {
    const varS2 = 0.05 ** 2 + (0.1 / 8) ** 2
    const expected = (0.2 / 0.01 + 0.4 / varS2) / (1 / 0.01 + 1 / varS2)
    const { leadS, standardErrorS } = stopLeadFrom([stop(0.4)])
    expect(leadS).toBeCloseTo(expected, 12)
    expect(standardErrorS).toBeCloseTo(Math.sqrt(1 / (1 / 0.01 + 1 / varS2)), 12)
  })

  test.each([0.05, 0.2, 0.45])('comes to the %s s that an operator needs', (ownS) => {
    const random = makeRandom(3, 'operator')
    const stops = many(40, () =>
      stop(ownS + 0.05 * random.normal(), random.between(2, 12), 0.05 * random.normal()),
    )
    const { leadS, standardErrorS } = stopLeadFrom(stops)
    expect(Math.abs(leadS - ownS)).toBeLessThan(4 * standardErrorS)
    expect(standardErrorS).toBeLessThan(0.015)
  })

  test('at a crawl an angle of noise is no reaction: it hardly moves', () => {
    const { leadS } = stopLeadFrom([stop(0, 0.6, 0.3)])
    expect(Math.abs(leadS - 0.2)).toBeLessThan(0.1)
    expect(stopLeadFrom([stop(0, 0.3, 0.3)]).stops).toBe(0)
  })

  test('one stop that was slept through among many hardly counts', () => {
    const good = many(10, () => stop(0.25))
    const withOne = [...good, stop(1)]
    expect(stopLeadFrom(withOne).stops).toBe(11)
    expect(Math.abs(stopLeadFrom(withOne).leadS - stopLeadFrom(good).leadS)).toBeLessThan(0.01)
  })

  test.each([
    ['far past the call', stop(2)],
    ['well before it', stop(-0.5)],
    ['standing still', stop(0, 0)],
    ['backwards', stop(0.2, -3)],
    ['without a rate', stop(0.2, Number.NaN)],
    ['without an angle', { cueDeg: Number.NaN, rateDegPerS: 8, peakDeg: 91 }],
    ['without an end', { cueDeg: 90, rateDegPerS: 8, peakDeg: Number.POSITIVE_INFINITY }],
  ])('a stop %s teaches nothing', (_, odd) => {
    expect(stopLeadFrom([odd])).toEqual(stopLeadFrom([]))
  })

  test('stays where a call can be followed, whatever was seen', () => {
    expect(stopLeadFrom(many(60, () => stop(-0.09))).leadS).toBe(0)
    expect(stopLeadFrom(many(60, () => stop(1.19))).leadS).toBe(0.8)
  })
})
