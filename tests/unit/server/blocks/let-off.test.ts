import { describe, expect, test } from 'vitest'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import { type LeftTube, letOff } from '../../../../server/blocks/let-off.ts'
import { BAD, GOOD, NONE } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock, type Row } from './one-block.ts'

const STEP_S = 0.005

interface Fall {
  readonly peakDeg?: number
  readonly backDeg?: number
  readonly fullBar?: number
  readonly tauS?: number
  readonly noise?: number
  readonly seed?: number
}

/** Held at the top under load, then let off: angle and pressure fall alike, as of a spring. */
function fall(given: Fall = {}): Row[] {
  const { peakDeg = 32, backDeg = 2.4, fullBar = 120, tauS = 0.08, noise = 0, seed = 1 } = given
  const random = makeRandom(seed, 'fall')
  return Array.from({ length: 1000 }, (_, nth) => {
    const timeS = nth * STEP_S
    const left = timeS < 0.5 ? 1 : Math.exp(-(timeS - 0.5) / tauS)
    return {
      timeS,
      angle: peakDeg - backDeg * (1 - left) + 0.025 * noise * random.normal(),
      pressure: fullBar * left + 0.2 * noise * random.normal(),
    }
  })
}
const leftOf = (rows: readonly Row[], parameters = {}) =>
  oneBlock(letOff, parameters)
    .feed(rows)
    .flatMap(({ all }) => (all['left'] ? [all['left'] as LeftTube] : []))

describe('the load that comes off', () => {
  test.each([1, 5, 20, 50])('leaves no bias by a level of %d bar', (letOffBar) => {
    const [left, ...more] = leftOf(fall(), { letOffBar })
    expect(more).toEqual([])
    expect(left).toMatchObject({ from: 'pressure', angleDeg: expect.closeTo(29.6, 6) })
  })

  test.each([0.03, 0.12, 0.5])('fast or slowly, tau %d s, within its own error', (tauS) => {
    const errors = Array.from({ length: 30 }, (_, seed) => {
      const [left] = leftOf(fall({ tauS, noise: 1, seed }))
      return ((left?.angleDeg ?? 99) - 29.6) / (left?.seDeg ?? 0)
    })
    const rms = Math.sqrt(errors.reduce((sum, error) => sum + error ** 2, 0) / errors.length)
    expect(rms).toBeGreaterThan(0.5)
    expect(rms).toBeLessThan(1.8)
  })

  test('shows the give of the tube in degrees for a bar, when it comes on again', () => {
    const again = [...fall(), { timeS: 3, angle: 30, pressure: 60 }]
    const out = oneBlock(letOff).feed(again)
    expect(out.at(-1)?.all['pressed']).toBeCloseTo((2.4 * 60) / 120, 6)
    expect(out.at(-1)?.all['bears']).toBe(1)
  })

  test('at once, as of an arm that a pawl relieves, leaves the mean of where it stood', () => {
    const held = Array.from({ length: 200 }, (_, nth) => ({
      timeS: nth * STEP_S,
      angle: 32 + (nth % 2 === 0 ? 0.02 : -0.02),
      pressure: nth < 150 ? 120 : 0,
    }))
    const [left] = leftOf(held)
    expect(left?.angleDeg).toBeCloseTo(32, 2)
    expect(left?.seDeg).toBeGreaterThanOrEqual(0.03)
  })

  test('comes and goes with hysteresis: noise about the level is one contact', () => {
    const trembling = Array.from({ length: 100 }, (_, nth) => ({
      timeS: nth * STEP_S,
      angle: 1,
      pressure: nth === 0 ? 8 : 5 + (nth % 2 === 0 ? 0.9 : -0.9),
    }))
    expect(leftOf(trembling, { letOffBar: 5 })).toHaveLength(1)
  })
})

describe('a switch', () => {
  const row = (nth: number, angle: number, closed: number) => ({
    timeS: nth * STEP_S,
    angle,
    closed,
  })
  test('tells the moment: what the arm shows then, to its step', () => {
    const [left] = leftOf([row(0, 30, 1), row(1, 29.9, 1), row(2, 29.5, 0), row(3, 29, 0)])
    expect(left).toMatchObject({ from: 'switch', angleDeg: 29.5 })
    expect(left?.seDeg).toBeCloseTo(0.4 / Math.sqrt(12), 9)
  })
})

describe('quality', () => {
  test('nothing is said where neither pressure nor switch is read', () => {
    const rows: Row[] = [
      { angle: 1, pressure: nothing, closed: nothing },
      { angle: 1, pressure: flawed(90, BAD) },
      { angle: flawed(1, BAD), pressure: 90 },
      { angle: nothing, pressure: 90 },
      { angle: 1, pressure: 90 },
    ]
    const out = oneBlock(letOff).feed(rows)
    expect(out.map(({ qualities }) => qualities['bears'])).toEqual([NONE, NONE, NONE, NONE, GOOD])
    expect(out.map(({ all }) => all['bears'])).toEqual([0, 0, 0, 0, 1])
  })
})
