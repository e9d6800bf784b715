import { describe, expect, test } from 'vitest'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import { autoDatum, type DatumHere } from '../../../../server/blocks/auto-datum.ts'
import { datum } from '../../../../server/blocks/datum.ts'
import { BAD, GOOD } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock, type Row } from './one-block.ts'

const STEP_S = 0.005
const BAR_DEG = 0.03

/** The die turns through its slack, and from `bearsDeg` on the pressure rises with it, as of a spring. */
function load({ bearsDeg = 3, toDeg = 8, rateDegPerS = 4, noise = 0, fromS = 0, seed = 1 } = {}) {
  const random = makeRandom(seed, 'load')
  const count = Math.round(toDeg / rateDegPerS / STEP_S)
  return Array.from({ length: count }, (_, nth): Row => {
    const angleDeg = nth * STEP_S * rateDegPerS
    return {
      timeS: fromS + nth * STEP_S,
      angle: angleDeg + 0.025 * noise * random.normal(),
      pressure: Math.max(0, (angleDeg - bearsDeg) / BAR_DEG) + 0.2 * noise * random.normal(),
    }
  })
}
const rest = (fromS: number, angle: number): Row[] =>
  Array.from({ length: 100 }, (_, nth) => ({ timeS: fromS + nth * STEP_S, angle, pressure: 0 }))
const command = (timeS: number, act: string): Row => ({ timeS, command: { act, reason: '' } })
const zerosOf = (rows: readonly Row[], parameters = {}) =>
  oneBlock(autoDatum, parameters)
    .feed(rows)
    .flatMap(({ all }) => (all['here'] ? [(all['here'] as DatumHere).readoutDeg] : []))

describe('zero by itself', () => {
  test.each([1, 5, 15])('is where the tube began to bear, at a level of %d bar', (letOffBar) => {
    const zeros = zerosOf(load(), { letOffBar })
    expect(zeros).toHaveLength(1)
    expect(zeros[0]).toBeCloseTo(3, 6)
  })

  test.each([1, 2, 4, 8])('stays near it with noise, at %d°/s', (rateDegPerS) => {
    const worst = Array.from({ length: 30 }, (_, seed) => {
      const [zeroDeg = 99] = zerosOf(load({ rateDegPerS, noise: 1, seed }))
      return Math.abs(zeroDeg - 3)
    })
    expect(Math.max(...worst)).toBeLessThan(0.1)
  })

  test('is taken once for a bend', () => {
    const twice = [...load(), ...rest(3, 6), ...load({ fromS: 4, bearsDeg: 6, toDeg: 12 })]
    expect(zerosOf(twice)).toHaveLength(1)
  })

  test('is taken again when the bend is closed and the tube is off', () => {
    const next = [
      ...load(),
      command(3, 'close'),
      ...rest(3.1, 6),
      ...load({ fromS: 4, bearsDeg: 1 }),
    ]
    expect(zerosOf(next).map((deg) => Math.round(deg))).toEqual([3, 1])
  })

  test('is taken again when the first was a knock', () => {
    const knock = load({ toDeg: 3.6, bearsDeg: 3 })
    const zeros = zerosOf([...knock, ...rest(2, 0), ...load({ fromS: 3, bearsDeg: 2 })])
    expect(zeros.map((deg) => Math.round(deg))).toEqual([3, 2])
  })
})

describe('no zero', () => {
  test.each<[string, Row[]]>([
    ['while nothing moves', load().map((row) => ({ ...row, angle: 3 }))],
    ['while no pressure rises', load().map((row) => ({ ...row, pressure: 0 }))],
    ['by a pressure that jumps', load().map((row, n) => ({ ...row, pressure: n < 300 ? 0 : 90 }))],
    ['after one by hand', [command(0, 'datum'), ...load({ fromS: 1 })]],
    ['by a die that falls back', load().map((row, n) => ({ ...row, angle: 8 - n * 0.02 }))],
    ['from bad angles', load().map((row) => ({ ...row, angle: flawed(1, BAD) }))],
    ['without a pressure', load().map((row) => ({ ...row, pressure: nothing }))],
    ['when the load was there from the start', load({ bearsDeg: -1 })],
  ])('%s', (_, rows) => {
    expect(zerosOf(rows)).toEqual([])
  })
})

describe('by a switch', () => {
  const closes = (atDeg: number, rateDegPerS: number) =>
    Array.from({ length: 400 }, (_, nth): Row => {
      const angle = nth * STEP_S * rateDegPerS
      return { timeS: nth * STEP_S, angle, closed: Number(angle >= atDeg) }
    })
  test('zero is where it closes while the die moves', () => {
    expect(zerosOf(closes(3, 4))).toEqual([expect.closeTo(3, 1)])
  })
  test('and not where it is pressed by hand', () => {
    const still = closes(3, 4).map((row) => ({ ...row, angle: 1 }))
    expect(zerosOf(still)).toEqual([])
  })
})

test('the datum takes it as it is, and says so', () => {
  const out = oneBlock(datum).feed([
    { timeS: 1, angle: 12 },
    { timeS: 2, angle: 12.5, here: { readoutDeg: 12.2 } },
    { timeS: 3, angle: 20 },
  ])
  expect(out[1]?.all['datum']).toEqual({ timeS: 2, readoutDeg: 12.2 })
  expect(out.at(-1)).toMatchObject({ value: expect.closeTo(7.8, 9), quality: GOOD })
})
