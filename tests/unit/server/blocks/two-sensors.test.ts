import { describe, expect, test } from 'vitest'
import { average } from '../../../../server/blocks/average.ts'
import { compare } from '../../../../server/blocks/compare.ts'
import { switchOver } from '../../../../server/blocks/switch-over.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'

describe('average', () => {
  test.each([
    ['both good', 10, 20, 15, GOOD],
    ['one uncertain', flawed(10, UNCERTAIN), 20, 15, UNCERTAIN],
    ['one bad: the other alone, uncertain', flawed(500, BAD), 20, 20, UNCERTAIN],
    ['one no number', 10, Number.NaN, 10, UNCERTAIN],
    ['one missing', 10, nothing, 10, UNCERTAIN],
    ['both bad', flawed(10, BAD), flawed(20, BAD), 0, BAD],
    ['both missing', nothing, nothing, 0, NONE],
  ])('%s', (_, a, b, value, quality) => {
    expect(oneBlock(average).feed([{ a, b }])[0]).toMatchObject({ value, quality })
  })

  test('weighs as told', () => {
    expect(oneBlock(average, { shareOfA: 0.75 }).feed([{ a: 10, b: 20 }])[0]!.value).toBe(12.5)
  })
})

describe('compare', () => {
  const run = (pairs: readonly (readonly [unknown, unknown])[], parameters = {}) =>
    oneBlock(compare, { tolerance: 1, lastsS: 2, gapS: 1.5, ...parameters }).feed(
      pairs.map(([a, b], timeS) => ({ timeS, a, b })),
    )

  test('tells when they disagree for so long, and when they agree again', () => {
    const apart = [10, 13] as const
    const near = [10, 10.5] as const
    const out = run([near, apart, near, apart, apart, apart, apart, near, near, near])
    const told = out.flatMap(({ all }) => (all['agreement'] ? [all['agreement']] : []))
    expect(told).toEqual([
      { agree: false, timeS: 5, difference: -3 },
      { agree: true, timeS: 9, difference: -0.5 },
    ])
    expect(out.map(({ quality }) => quality)).toEqual([0, 0, 0, 0, 0, BAD, BAD, BAD, BAD, 0])
    expect(out.map(({ value }) => value)).toEqual(out.map(() => 10))
  })

  test('marks it uncertain only, where so told', () => {
    expect(run([[10, 20]], { lastsS: 0, lowersTo: 'uncertain' })[0]!.quality).toBe(UNCERTAIN)
  })

  test('without a usable second nothing checks the first', () => {
    const out = run([
      [10, flawed(90, BAD)],
      [10, nothing],
      [flawed(10, BAD), 10],
      [nothing, 10],
    ])
    expect(out.map(({ quality }) => quality)).toEqual([UNCERTAIN, UNCERTAIN, BAD, NONE])
    expect(out.map(({ qualities }) => qualities['difference'])).toEqual([BAD, NONE, BAD, NONE])
  })

  test('over a silence nothing is known to have lasted', () => {
    const rows = [0, 1, 9, 10, 11].map((timeS) => ({ timeS, a: 0, b: 5 }))
    const out = oneBlock(compare, { tolerance: 1, lastsS: 2, gapS: 1.5 }).feed(rows)
    expect(out.map(({ quality }) => quality)).toEqual([0, 0, 0, 0, BAD])
  })
})

describe('switch-over', () => {
  const run = (pairs: readonly (readonly [unknown, unknown])[]) =>
    oneBlock(switchOver, { backAfterS: 2, gapS: 1.5 }).feed(
      pairs.map(([first, second], timeS) => ({ timeS, first, second })),
    )
  const bad = flawed(7, BAD)

  test('goes over at once, and back only after a while', () => {
    const out = run([
      [1, 2],
      [bad, 2],
      [1, 2],
      [1, 2],
      [1, 2],
      [1, 2],
    ])
    expect(out.map(({ value }) => value)).toEqual([1, 2, 2, 2, 1, 1])
    expect(out.map(({ quality }) => quality)).toEqual([0, 1, 1, 1, 0, 0])
    expect(out.map(({ all }) => all['onSecond'])).toEqual([0, 1, 1, 1, 0, 0])
  })

  test('a loose wire begins the wait anew', () => {
    const out = run([
      [bad, 2],
      [1, 2],
      [1, 2],
      [bad, 2],
      [1, 2],
      [1, 2],
      [1, 2],
    ])
    expect(out.map(({ value }) => value)).toEqual([2, 2, 2, 2, 2, 2, 1])
  })

  test('back at once where the second fails; with neither it is bad', () => {
    const out = run([
      [bad, 2],
      [1, bad],
      [bad, bad],
      [nothing, nothing],
      [nothing, 2],
    ])
    expect(out.map(({ quality }) => quality)).toEqual([UNCERTAIN, GOOD, BAD, NONE, UNCERTAIN])
    expect(out[1]!.value).toBe(1)
    expect(out[4]!.value).toBe(2)
  })

  test('an uncertain first is still the first', () => {
    expect(run([[flawed(1, UNCERTAIN), 2]])[0]).toMatchObject({ value: 1, quality: UNCERTAIN })
  })
})
