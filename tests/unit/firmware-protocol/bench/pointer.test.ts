import { describe, expect, it } from 'vitest'
import { makePointer } from '../../../../firmware-protocol/bench/pointer.ts'
import { makeWorkshop } from '../../../../firmware-protocol/bench/workshop.ts'

describe('the pointer of a shop without a daemon', () => {
  it.each([1, 2, 3])('makes the operator bend to the list, over and over (seed %d)', (seed) => {
    const shop = makeWorkshop(seed)
    const point = makePointer([20, 45])
    const peaks: number[] = []
    let last = shop.truth()
    for (let step = 0; step < 100_000 && peaks.length < 4; step++) {
      shop.advance(0.001)
      shop.takePedal()
      shop.show(point(shop.sight()))
      const truth = shop.truth()
      if (truth !== last && truth) peaks.push(truth.peakDeg)
      last = truth
    }
    const wanted = [20, 45, 20, 45]
    expect(peaks.length).toBe(4)
    peaks.forEach((deg, at) => {
      expect(Math.abs(deg - wanted[at]!)).toBeLessThan(0.4)
    })
  })

  it.each([
    ['loaded', 10, 'bending', 'bend'],
    ['loaded', 25, 'bending', 'ease'],
    ['loaded', 29.6, 'bending', 'stop'],
    ['loaded', 90, 'bending', 'stop'],
    ['free', 0, 'no-datum', 'none'],
    ['slack', 0, 'no-datum', 'none'],
    ['letting-off', 29, 'letting-off', 'none'],
    ['standing', 28, 'settled', 'none'],
  ] as const)('%s at %d° shows %s and %s', (contact, bentDeg, phase, cue) => {
    expect(makePointer([30])({ contact, bentDeg })).toMatchObject({ phase, cue, hasJob: true })
  })

  it.each([
    [[], '1 to 10000 angles'],
    [[0.5], 'between 1° and 180°'],
    [[30, 181], 'got 181'],
    [[Number.NaN], 'got NaN'],
    [new Array(10_001).fill(30), 'got 10001'],
  ])('is refused with a list that cannot be (%#)', (stops, words) => {
    expect(() => makePointer(stops)).toThrow(words)
  })
})
