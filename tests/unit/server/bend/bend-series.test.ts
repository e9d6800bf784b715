import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  apartOf,
  append,
  type BendSeries,
  countedOf,
  countOf,
  type HeldBend,
  newSeries,
  RECENT_MAX,
  splitOff,
  together,
  weigh,
} from '../../../../server/bend/bend-series.ts'
import { beliefFrom, observe } from '../../../../server/bend/normal-inverse-gamma.ts'

const SEED = 2718
const prior = beliefFrom({ mean: [0.5, 0.03], precision: [0.25, 2000], shape: 3, rate: 0.08 })
const held = (id: number, off = 0): HeldBend => {
  const loadedDeg = 30 + 30 * (id % 4)
  const springbackDeg = 0.5 + 0.03 * loadedDeg + 0.05 * Math.sin(7 * id) + off
  return { id, loadedDeg, springbackDeg, row: [1, loadedDeg], y: springbackDeg, vouched: false }
}

function seriesOf(bends: readonly HeldBend[]) {
  const series = newSeries()
  for (const bend of bends) {
    append(series, bend)
    weigh(series, prior, 0.2)
  }
  return series
}
const many = (count: number) => Array.from({ length: count }, (_, k) => held(k + 1))

describe('a series', () => {
  it.each([0, 1, 5, RECENT_MAX, RECENT_MAX + 1, 100])('of %d bends is all of them', (count) => {
    const counted = countedOf(seriesOf(many(count)))
    expect(countOf(counted)).toBe(count)
    const found = together(prior, counted)
    const each = many(count).reduce((so, { row, y }) => observe(so, row, y), prior)
    for (const key of ['r11', 'r12', 'r22', 'z1', 'z2', 'shape', 'rate'] as const)
      expect(found[key]).toBeCloseTo(each[key], 8)
  })

  it(`weighs the last ${RECENT_MAX} anew and keeps no more`, () => {
    expect(seriesOf(many(100)).recent.map(({ id }) => id)).toEqual(
      many(100)
        .slice(-RECENT_MAX)
        .map(({ id }) => id),
    )
  })

  it('a bad bend that grows old stays apart and out of the sums', () => {
    const bends = many(60).map((bend) => (bend.id === 10 ? held(10, 3) : bend))
    const series = seriesOf(bends)
    expect(apartOf(series)).toBe(1)
    expect(series.apart.size).toBe(0)
    expect(countOf(countedOf(series))).toBe(59)
  })

  it(`what counts is remembered to the digit, whatever happens (seed ${SEED})`, () => {
    const afresh = (series: BendSeries) => countedOf({ ...series, counted: null })
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { maxLength: 60 }),
        (offs) => {
          const series = newSeries()
          offs.forEach((off, k) => {
            append(series, held(k + 1, off))
            expect(countedOf(series)).toEqual(afresh(series))
            weigh(series, prior, 0.2)
            expect(countedOf(series)).toEqual(afresh(series))
            if (k % 9 === 8) splitOff(series, 1 + (k % 5))
            expect(countedOf(series)).toEqual(afresh(series))
            expect(countOf(countedOf(series)) + apartOf(series)).toBe(series.bends)
          })
        },
      ),
      { seed: SEED },
    )
  })

  it.each([3, 6, 7])(
    'of %d, the last bumped: it alone is apart, whichever way they are weighed',
    (count) => {
      const series = seriesOf([...many(count - 1), held(count, 3)])
      expect([...series.apart.keys()]).toEqual([count])
      expect(series.apart.get(count)!.offDeg).toBeCloseTo(3, 0)
    },
  )

  it('bends that scatter more than believed are judged by their own scatter', () => {
    const wild = many(20).map((bend, k) => held(bend.id, k % 2 ? 0.9 : -0.9))
    expect(seriesOf(wild).apart.size).toBe(0)
    expect(seriesOf([...wild, held(21, 12)]).apart.has(21)).toBe(true)
  })

  it('a split takes the last bends, and what was set apart of them', () => {
    const series = seriesOf([...many(10), held(11, 3)])
    expect(series.apart.has(11)).toBe(true)
    expect(splitOff(series, 3).map(({ id }) => id)).toEqual([9, 10, 11])
    expect(series.bends).toBe(8)
    expect(series.apart.size).toBe(0)
  })

  it('a split longer than what is remembered takes all of that', () => {
    const series = seriesOf(many(40))
    expect(splitOff(series, 35)).toHaveLength(RECENT_MAX)
    expect(countOf(countedOf(series))).toBe(40 - RECENT_MAX)
  })
})

describe('the first bends', () => {
  it('one far off waits apart, with the reason of a first bend', () => {
    const series = seriesOf([held(1, 4)])
    expect([...series.apart.keys()]).toEqual([1])
    expect(series.apart.get(1)!.why).toMatch(
      /^6\.\d° came back where 2\.3° was expected of a first bend: /,
    )
    expect(series.apart.get(1)!.weight).toBeLessThan(0.1)
  })

  it('the next bears it out, or it stays apart', () => {
    expect(seriesOf([held(1, 4), held(5, 4)]).apart.size).toBe(0)
    expect([...seriesOf([held(1, 4), held(5)]).apart.keys()]).toEqual([1])
  })

  it('its reason then names the others', () => {
    const { why } = seriesOf([held(1, 4), held(2), held(3)]).apart.get(1)!
    expect(why).toMatch(
      /^6\.\d° came back where the other bends say 2\.\d°, \d+ times their scatter/,
    )
  })

  it('an uncertain one is told in its own degrees', () => {
    const bend = held(3, 3)
    const half = { ...bend, row: [0.5, bend.loadedDeg / 2] as const, y: bend.springbackDeg / 2 }
    expect(seriesOf([held(1), held(2), half]).apart.get(3)!.offDeg).toBeCloseTo(3, 0)
  })

  it('a vouched one counts', () => {
    expect(seriesOf([{ ...held(1, 9), vouched: true }]).apart.size).toBe(0)
  })
})
