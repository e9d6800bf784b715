import { describe, expect, test } from 'vitest'
import { alphaBeta } from '../../../../server/blocks/alpha-beta.ts'
import { median } from '../../../../server/blocks/median.ts'
import { oneEuro } from '../../../../server/blocks/one-euro.ts'
import { rateLimiter } from '../../../../server/blocks/rate-limiter.ts'
import { threshold } from '../../../../server/blocks/threshold.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'

const rows = (cells: readonly unknown[], stepS = 0.01, fromS = 0) =>
  cells.map((value, nth) => ({ timeS: fromS + nth * stepS, value }))

describe.each([
  ['median', median],
  ['one-euro', oneEuro],
  ['alpha-beta', alphaBeta],
  ['rate-limiter', rateLimiter],
])('%s', (_, block) => {
  test('begins at its first value, keeps what stands still, holds over bad ones', () => {
    const out = oneBlock(block).feed(rows([4, 4, flawed(90, BAD), nothing, Number.NaN, 4, 4]))
    expect(out.map(({ quality }) => quality)).toEqual([0, 0, BAD, NONE, BAD, 0, 0])
    for (const { value, quality } of out) if (quality !== NONE) expect(value).toBeCloseTo(4, 12)
  })

  test('is 0 and bad before a first value', () => {
    expect(oneBlock(block).feed(rows([flawed(5, BAD)]))[0]).toMatchObject({
      value: 0,
      quality: BAD,
    })
  })

  test('begins anew after a silence, and where time goes back', () => {
    for (const fromS of [50, -50]) {
      const one = oneBlock(block)
      one.feed(rows([1, 1, 1, 1, 1, 1]))
      expect(one.feed(rows([80], 0.01, fromS))[0]).toMatchObject({ value: 80, quality: GOOD })
    }
  })

  test('a silence within its gap is none', () => {
    const one = oneBlock(block, { gapS: 100 })
    one.feed(rows([1, 1, 1, 1, 1, 1]))
    expect(one.feed(rows([80_000], 0.01, 50))[0]!.value).not.toBe(80_000)
  })

  test('an uncertain value is taken, and said so', () => {
    expect(oneBlock(block).feed(rows([flawed(3, UNCERTAIN)]))[0]).toMatchObject({
      value: 3,
      quality: UNCERTAIN,
    })
  })
})

test('median: an even window has no middle', () => {
  expect(() => median.start({ unit: 'deg', window: 4, gapS: 1 })).toThrow(/window is 4.*odd/)
})

test('median: an uncertain value shows as long as it is in the window', () => {
  const out = oneBlock(median, { window: 3 }).feed(rows([1, flawed(1, UNCERTAIN), 1, 1, 1]))
  expect(out.map(({ quality }) => quality)).toEqual([0, 1, 1, 1, 0])
})

test('alpha-beta follows a ramp without a lag, and gives its rate', () => {
  const out = oneBlock(alphaBeta, { rateHz: 100 }).feed(
    rows(Array.from({ length: 500 }, (_, nth) => nth * 0.2)),
  )
  expect(out.at(-1)!.value).toBeCloseTo(499 * 0.2, 6)
  expect(out.at(-1)!.all['rate']).toBeCloseTo(20, 6)
})

test('rate limiter: no faster up or down than told, uncertain while behind', () => {
  const out = oneBlock(rateLimiter, { riseMax: 100, fallMax: 50 }).feed(rows([0, 2, 2, 2, 0, 0]))
  expect(out.map(({ value }) => Number(value.toFixed(9)))).toEqual([0, 1, 2, 2, 1.5, 1])
  expect(out.map(({ quality }) => quality)).toEqual([0, 1, 0, 0, 1, 1])
})

describe('threshold', () => {
  const on = (cells: readonly unknown[], parameters: object) =>
    oneBlock(threshold, { ...parameters }).feed(rows(cells, 1))

  test('on at the limit, off only beyond the hysteresis', () => {
    const out = on([0, 9.9, 10, 9, 8.1, 8, 7.9, 9, 10], { limit: 10, hysteresis: 2 })
    expect(out.map(({ value }) => value)).toEqual([0, 0, 1, 1, 1, 1, 0, 0, 1])
    expect(out.flatMap(({ all }) => (all['crossing'] ? [all['crossing']] : []))).toEqual([
      { on: true, timeS: 2 },
      { on: false, timeS: 6 },
      { on: true, timeS: 8 },
    ])
  })

  test('the other way round', () => {
    const out = on([5, 2, 3, 4, 4.1], { limit: 2, hysteresis: 2, onWhen: 'below' })
    expect(out.map(({ value }) => value)).toEqual([0, 1, 1, 1, 0])
  })

  test('bad values and rows without one change nothing', () => {
    const out = on([11, flawed(0, BAD), nothing, Number.NaN, 11], { limit: 10 })
    expect(out.map(({ quality }) => quality)).toEqual([0, BAD, NONE, BAD, 0])
    expect(out.map(({ value }) => value).filter((_, nth) => nth !== 2)).toEqual([1, 1, 1, 1])
  })
})
