import { describe, expect, test } from 'vitest'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import { smoother } from '../../../../server/blocks/smoother.ts'
import { BAD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock, type Row } from './one-block.ts'

const at = (rateHz: number, count: number, angle: (timeS: number) => unknown): Row[] =>
  Array.from({ length: count }, (_, nth) => ({ timeS: nth / rateHz, angle: angle(nth / rateHz) }))
const run = (rows: Row[], parameters = {}) => oneBlock(smoother, parameters).feed(rows)
const rateOf = (row: { all: Record<string, unknown> } | undefined) => row?.all['rate'] as number

test('the first value stands as it is, at rest', () => {
  const [row] = run([{ timeS: 5, angle: 42 }])
  expect(row).toMatchObject({ value: 42, all: { rate: 0 } })
})

describe.each([20, 100, 200, 1000])('at %i Hz', (rateHz) => {
  test('a steady rate is shown without lag', () => {
    const last = run(at(rateHz, 2 * rateHz, (timeS) => 12 * timeS)).at(-1)
    expect(last?.value).toBeCloseTo(12 * (2 - 1 / rateHz), 3)
    expect(rateOf(last)).toBeCloseTo(12, 2)
  })

  test('noise comes out smaller than it went in (seed 1)', () => {
    const random = makeRandom(1, 'smoother')
    const rows = run(at(rateHz, 4 * rateHz, () => 0.03 * random.normal()))
    const rest = rows.slice(rateHz).map(({ value }) => value)
    const sd = Math.sqrt(rest.reduce((sum, value) => sum + value * value, 0) / rest.length)
    expect(sd).toBeLessThan(0.03)
  })
})

test('uneven steps make no rate: time comes with the samples', () => {
  const random = makeRandom(2, 'steps')
  let timeS = 0
  const rows = Array.from({ length: 400 }, () => {
    timeS += random.between(0.001, 0.02)
    return { timeS, angle: 7 * timeS }
  })
  expect(rateOf(run(rows).at(-1))).toBeCloseTo(7, 2)
})

describe('begins anew', () => {
  test('at a datum: the angle jumps, and nothing moved', () => {
    const block = oneBlock(smoother)
    block.feed(at(200, 100, () => 40))
    const rows = block.feed([
      { timeS: 0.5, datum: {} },
      { timeS: 0.5, angle: 0 },
    ])
    expect(rows[1]).toMatchObject({ value: 0, all: { rate: 0 } })
  })

  test.each([
    ['after a second of silence', 1.6],
    ['when time steps back', 0.1],
  ])('%s', (_, timeS) => {
    const block = oneBlock(smoother)
    block.feed(at(200, 100, (t) => 10 * t))
    const [row] = block.feed([{ timeS, angle: 90 }])
    expect(row).toMatchObject({ value: 90, all: { rate: 0 } })
  })

  test('not after a lost line or two', () => {
    const rows = at(200, 200, (timeS) => 10 * timeS).filter((_, nth) => nth !== 150 && nth !== 151)
    expect(rateOf(run(rows).at(-1))).toBeCloseTo(10, 2)
  })
})

describe('quality', () => {
  test('bad values are not taken in: what was known stands, bad', () => {
    const rows = run([...at(200, 100, () => 5), { timeS: 0.5, angle: flawed(900, BAD) }])
    expect(rows.at(-1)).toMatchObject({ value: expect.closeTo(5, 6), quality: BAD })
  })

  test('uncertain stays uncertain, none stays none, for angle and rate alike', () => {
    const rows = run([{ angle: flawed(1, UNCERTAIN) }, { angle: nothing }])
    expect(rows.map(({ quality }) => quality)).toEqual([UNCERTAIN, NONE])
  })
})
