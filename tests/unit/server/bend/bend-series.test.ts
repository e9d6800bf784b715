import { describe, expect, it } from 'vitest'
import {
  append,
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
    expect([...series.apart.keys()]).toEqual([10])
    expect(countOf(countedOf(series))).toBe(59)
  })

  it('with fewer than four, nothing is set apart by the weights', () => {
    expect(seriesOf([held(1), held(2), held(3, 3)]).apart.size).toBe(0)
  })

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

describe('the first three', () => {
  const newest = (series: ReturnType<typeof newSeries>, bend: HeldBend, score: number) => {
    append(series, bend)
    weigh(series, prior, 0.2, { springbackDeg: bend.springbackDeg - score / 4, score })
  }

  it('one four scales off waits apart; one less far counts', () => {
    const series = newSeries()
    newest(series, held(1), 3.9)
    newest(series, held(2, 1), 4)
    expect([...series.apart.keys()]).toEqual([2])
    expect(series.apart.get(2)!.why).toContain('4 times their scatter')
  })

  it('two off the same way count both, two off both ways neither', () => {
    const [same, opposite] = [newSeries(), newSeries()]
    newest(same, held(1), 5)
    newest(same, held(2), 6)
    expect(same.apart.size).toBe(0)
    newest(opposite, held(1), 5)
    newest(opposite, held(2), -6)
    expect([...opposite.apart.keys()]).toEqual([1, 2])
  })

  it('a vouched one counts', () => {
    const series = newSeries()
    newest(series, { ...held(1), vouched: true }, 9)
    expect(series.apart.size).toBe(0)
  })
})
