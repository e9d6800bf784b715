import { describe, expect, test } from 'vitest'
import { lowPass } from '../../../../server/blocks/low-pass.ts'
import { notch } from '../../../../server/blocks/notch.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock, type Row } from './one-block.ts'

const rows = (cells: readonly unknown[], rateHz = 200, fromS = 0): Row[] =>
  cells.map((value, nth) => ({ timeS: fromS + nth / rateHz, value }))
const steady = (count: number, value = 1) => new Array(count).fill(value)

describe.each([
  ['low-pass', lowPass, { cutoffHz: 10 }],
  ['notch', notch, { centreHz: 50, widthHz: 10 }],
] as const)('%s', (_, block, parameters) => {
  const run = (given: readonly Row[]) => oneBlock(block, { unit: 'bar', ...parameters }).feed(given)

  test('begins at its first value, good, and passes what stands still', () => {
    for (const { value, quality } of run(rows(steady(100, 7)))) {
      expect(value).toBeCloseTo(7, 12)
      expect(quality).toBe(GOOD)
    }
  })

  test('lags behind a ramp by as many samples as it says', () => {
    const filled = { unit: 'deg', rateHz: 200, ...parameters } as never
    const lag = block.delaySamples?.(filled)
    const out = run(rows(Array.from({ length: 2000 }, (_, nth) => nth)))
    expect(1999 - out.at(-1)!.value).toBeCloseTo(lag!, 6)
  })

  test('bad values pass it by: what was known stands, marked bad', () => {
    const out = run(rows([1, 1, flawed(500, BAD), flawed(Number.NaN, GOOD), 1]))
    expect(out.map(({ quality }) => quality)).toEqual([GOOD, GOOD, BAD, BAD, UNCERTAIN])
    for (const { value } of out) expect(value).toBeCloseTo(1, 12)
  })

  test('before a first value it is bad, and 0', () => {
    expect(run(rows([flawed(3, BAD)]))[0]).toMatchObject({ value: 0, quality: BAD })
  })

  test('lost lines are filled in with a straight line, and said to be uncertain for a while', () => {
    const all = rows(Array.from({ length: 400 }, (_, nth) => nth / 10))
    const thinned = all.filter((_, nth) => nth < 100 || nth > 104)
    const out = run(thinned)
    const whole = run(all)
    expect(out[100]!.value).toBeCloseTo(whole[105]!.value, 9)
    expect(out[99]!.quality).toBe(GOOD)
    expect(out[100]!.quality).toBe(UNCERTAIN)
    expect(out.at(-1)).toMatchObject({ quality: GOOD })
    expect(out.at(-1)!.value).toBeCloseTo(whole.at(-1)!.value, 9)
  })

  test('after a longer silence, or a time that goes back, it begins anew', () => {
    for (const fromS of [20, -5]) {
      const out = run([...rows(steady(50)), ...rows(steady(3, 9), 200, fromS)])
      expect(out[50]).toMatchObject({ value: 9, quality: GOOD })
      expect(out[52]!.value).toBeCloseTo(9, 12)
    }
  })

  test('an uncertain value makes what follows uncertain, for as long as it shows', () => {
    const out = run(rows([...steady(50), flawed(1, UNCERTAIN), ...steady(100)]))
    expect(out[50]!.quality).toBe(UNCERTAIN)
    expect(out[55]!.quality).toBe(UNCERTAIN)
    expect(out.at(-1)!.quality).toBe(GOOD)
  })

  test('uneven steps leave it good; another rate than it was made for does not', () => {
    const jitter = rows(steady(600)).map((row, nth) => ({
      ...row,
      timeS: row.timeS! + (nth % 2) * 0.001,
    }))
    expect(run(jitter).every(({ quality }) => quality === GOOD)).toBe(true)
    expect(run(rows(steady(600), 180)).at(-1)!.quality).toBe(UNCERTAIN)
    expect(run(rows(steady(600), 100)).at(-1)!.quality).toBe(UNCERTAIN)
    expect(run(rows(steady(600), 195)).at(-1)!.quality).toBe(GOOD)
  })

  test('rows without a value stay so', () => {
    const out = run(rows([1, nothing, 1]))
    expect(out.map(({ quality }) => quality)).toEqual([GOOD, NONE, UNCERTAIN])
  })
})

test.each([100, 150])('a frequency of %d Hz cannot be shown at 200 a second', (frequencyHz) => {
  expect(() => lowPass.start({ unit: 'deg', cutoffHz: frequencyHz, rateHz: 200 })).toThrow(
    `cutoffHz is ${frequencyHz}, and must be below half of rateHz, which is 200.`,
  )
  expect(() =>
    notch.start({ unit: 'deg', centreHz: frequencyHz, widthHz: 5, rateHz: 200 }),
  ).toThrow(/centreHz/)
})
