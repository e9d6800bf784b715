import { describe, expect, test } from 'vitest'
import { spikeGuard } from '../../../../server/blocks/spike-guard.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock, type Row } from './one-block.ts'

const at200Hz = (cells: readonly unknown[]): Row[] =>
  cells.map((angle, nth) => ({ timeS: nth / 200, angle }))
const run = (cells: readonly unknown[], parameters = {}) =>
  oneBlock(spikeGuard, parameters).feed(at200Hz(cells))
const values = (cells: readonly unknown[], parameters = {}) =>
  run(cells, parameters).map(({ value }) => value)
const qualities = (cells: readonly unknown[], parameters = {}) =>
  run(cells, parameters).map(({ quality }) => quality)

describe('spikes', () => {
  test.each([
    ['one up', [0, 0, 90, 0, 0], [0, 0, 0, 0, 0]],
    ['one down', [5, 5, -90, 5, 5], [5, 5, 5, 5, 5]],
    ['up and down in turn', [0, 0, 9, 0, -9, 0], [0, 0, 0, 0, 0, 0]],
    ['in the first value: passes, as nothing is known yet', [90, 0, 0, 0], [90, 90, 90, 0]],
  ])('%s', (_, given, expected) => {
    expect(values(given, { holdMax: 2 })).toEqual(expected)
  })

  test('a ramp comes through one sample late, its edge not rounded', () => {
    expect(values([0, 0, 0, 1, 2, 3, 3, 3])).toEqual([0, 0, 0, 0, 1, 2, 3, 3])
    expect(spikeGuard.delaySamples?.({ rateMaxDegPerS: 720, holdMax: 5 })).toBe(1)
  })
})

describe('the limit on the rate', () => {
  test('two spikes in a row are held back, and said to be uncertain', () => {
    const cells = [0, 0, 0, 90, 90, 0, 0, 0]
    expect(values(cells)).toEqual([0, 0, 0, 0, 0, 0, 0, 0])
    expect(qualities(cells)).toEqual([0, 0, 0, 0, UNCERTAIN, UNCERTAIN, 0, 0])
  })

  test('a new place is believed in the end: nothing stays locked out', () => {
    const cells = [0, 0, 0, ...new Array(8).fill(90)]
    expect(values(cells)).toEqual([0, 0, 0, 0, 0, 0, 0, 0, 0, 90, 90])
    expect(qualities(cells).slice(-2)).toEqual([GOOD, GOOD])
  })

  test('with nothing to hold, jumps pass', () => {
    expect(values([0, 0, 0, 90, 90], { holdMax: 0 })).toEqual([0, 0, 0, 0, 90])
  })

  test('after a silence the die may be anywhere', () => {
    const rows = [0, 0.005, 0.01, 0.27, 0.275].map((timeS, nth) => ({
      timeS,
      angle: nth > 2 ? 90 : 0,
    }))
    expect(oneBlock(spikeGuard).feed(rows).slice(3)).toMatchObject([
      { value: 90, quality: GOOD },
      { value: 90, quality: GOOD },
    ])
  })

  test('after a lost line or two it may not, and holds back what went on without it', () => {
    const rows = [0, 0.005, 0.01, 0.03, 0.035].map((timeS, nth) => ({
      timeS,
      angle: nth > 2 ? 90 : 0,
    }))
    expect(oneBlock(spikeGuard).feed(rows).at(-1)).toMatchObject({ value: 0, quality: UNCERTAIN })
  })

  test('the fastest die allowed passes', () => {
    const ramp = Array.from({ length: 20 }, (_, nth) => nth * (719 / 200))
    expect(qualities(ramp)).toEqual(ramp.map(() => GOOD))
  })

  test('time that stands still lets no jump through', () => {
    const rows = [0, 0, 9, 9].map((angle) => ({ timeS: 5, angle }))
    expect(
      oneBlock(spikeGuard)
        .feed(rows)
        .map(({ quality }) => quality),
    ).toEqual([0, 0, 0, UNCERTAIN])
  })
})

describe('quality', () => {
  test('bad values pass as they are, and leave the median alone', () => {
    const cells = [1, 1, 1, flawed(500, BAD), 1, 1]
    expect(values(cells)).toEqual([1, 1, 1, 500, 1, 1])
    expect(qualities(cells)).toEqual([0, 0, 0, BAD, 0, 0])
  })

  test('an uncertain value makes the two after it uncertain: it may be their median', () => {
    expect(qualities([1, 1, flawed(1, UNCERTAIN), 1, 1, 1])).toEqual([0, 0, 1, 1, 1, 0])
  })

  test('rows without a value stay so, and leave the median alone', () => {
    const cells = [0, 0, nothing, 90, nothing, 0]
    expect(qualities(cells)).toEqual([0, 0, NONE, 0, NONE, 0])
    expect(values(cells).filter((_, nth) => nth % 2 === 1 || nth === 0)).toEqual([0, 0, 0, 0])
  })
})
