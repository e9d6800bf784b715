import { describe, expect, test } from 'vitest'
import { joinStrokes } from '../../../../server/blocks/join-strokes.ts'
import { BAD, GOOD, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, oneBlock, type Row } from './one-block.ts'

const STEP_S = 0.005
const DATUM = { datum: { timeS: 0, readoutDeg: 0 } }

/** The arm's way through these places, at 20°/s, with a hold of half a second at each. */
function way(...placesDeg: readonly number[]): Row[] {
  const angles: number[] = []
  let atDeg = placesDeg[0] ?? 0
  for (const placeDeg of placesDeg) {
    const steps = Math.round(Math.abs(placeDeg - atDeg) / (20 * STEP_S))
    for (let step = 1; step <= steps; step++)
      angles.push(atDeg + ((placeDeg - atDeg) * step) / steps)
    angles.push(...new Array(100).fill(placeDeg))
    atDeg = placeDeg
  }
  return angles.map((angle, nth) => ({ timeS: nth * STEP_S, angle, ...(nth === 0 && DATUM) }))
}
const joined = (rows: readonly Row[], parameters = {}) =>
  oneBlock(joinStrokes, { biteDeg: 12, ...parameters }).feed(rows)

describe('by the way of the arm alone', () => {
  test('the angle goes on where it was, bite after bite', () => {
    const out = joined(way(0, 30, 0, 30, 5, 25))
    expect(out.at(-1)?.value).toBeCloseTo(80, 1)
  })

  test('less what the arm goes before the die follows', () => {
    const out = joined(way(0, 30, 0, 30), { backlashDeg: 1.5 })
    expect(out.at(-1)?.value).toBeCloseTo(58.5, 1)
  })

  test('back by less than a bite it is the same stroke', () => {
    const out = joined(way(0, 30, 20, 30))
    expect(out.at(-1)?.value).toBeCloseTo(30, 9)
    expect(Math.min(...out.slice(-200).map(({ value }) => value))).toBeGreaterThanOrEqual(20)
  })

  test('an arm that takes no bites is only ever where it is', () => {
    const rows = way(0, 90, 0, 60)
    const out = joined(rows, { biteDeg: 0 })
    out.forEach(({ value }, nth) => {
      expect(value).toBe(rows[nth]?.['angle'])
    })
  })

  test('back from the top it is uncertain, away from the tube bad, at the tube good', () => {
    const rows = way(0, 30, 20, 0, 30)
    const out = joined(rows)
    const qualityAt = (angleDeg: number, from: number) =>
      out[rows.findIndex(({ angle }, nth) => nth >= from && angle === angleDeg)]?.quality
    expect(qualityAt(30, 0)).toBe(GOOD)
    expect(qualityAt(20, 0)).toBe(GOOD)
    expect(qualityAt(20, rows.findIndex(({ angle }) => angle === 30) + 150)).toBe(UNCERTAIN)
    expect(qualityAt(0, 300)).toBe(BAD)
    expect(out.at(-1)?.quality).toBe(GOOD)
  })

  test('bad readings are passed over, and keep their quality', () => {
    const rows = way(0, 30, 0, 30).map((row, nth) =>
      nth % 7 === 3 ? { ...row, angle: flawed(999, BAD) } : row,
    )
    const out = joined(rows)
    expect(out[3]?.quality).toBe(BAD)
    expect(out.at(-1)?.value).toBeCloseTo(60, 1)
  })
})

describe('with a load that is seen', () => {
  const seen = (rows: readonly Row[], bears: (nth: number) => number, left?: [number, number]) =>
    rows.map((row, nth) => ({
      ...row,
      bears: bears(nth),
      pressed: bears(nth) * 0.2,
      ...(left?.[0] === nth && {
        left: { from: 'pressure', timeS: nth * STEP_S, angleDeg: left[1], seDeg: 0.01 },
      }),
    }))

  test('the tube stays where it was left, and goes on from there', () => {
    const rows = way(0, 30, 0, 30)
    const leavesAt = rows.findIndex(({ angle }, nth) => nth > 320 && angle !== 30)
    const comesAt = rows.findLastIndex(({ angle }) => angle === 0) + 41
    const bears = (nth: number) => Number(nth > 10 && (nth < leavesAt || nth >= comesAt))
    const out = joined(seen(rows, bears, [leavesAt, 28.4]))
    expect(out[leavesAt]?.all['left']).toMatchObject({ angleDeg: 28.4, from: 'pressure' })
    expect(out[leavesAt + 50]).toMatchObject({ value: 28.4, quality: GOOD })
    expect(out[comesAt]?.value).toBeCloseTo(28.6, 9)
    const restDeg = 30 - (rows[comesAt]?.['angle'] as number)
    expect(out.at(-1)?.value).toBeCloseTo(28.6 + restDeg, 9)
  })

  test('before it ever bore, the arm is shown as it is', () => {
    const out = joined(seen(way(0, 30, 0), () => 0))
    expect(out.at(-1)).toMatchObject({ value: 0, quality: GOOD })
  })
})

describe('begins anew', () => {
  test('with a datum', () => {
    const rows = [...way(0, 30, 0, 30), { timeS: 50, angle: 7, ...DATUM }]
    expect(joined(rows).at(-1)?.value).toBe(7)
  })

  test('when the bend is closed, and joins nothing until the next datum', () => {
    const close = { command: { act: 'close', reason: 'accepted' } }
    const rows = [...way(0, 30, 0, 30), { timeS: 50, angle: 30, ...close }]
    const out = joined([...rows, ...way(30, 0, 30).map(({ datum: _, ...row }) => row)])
    expect(out[rows.length - 1]?.value).toBe(30)
    expect(out.at(-1)).toMatchObject({ value: 30, quality: GOOD })
  })

  test('and nothing is joined before the first datum', () => {
    const rows = way(0, 30, 0, 30).map(({ datum: _, ...row }) => row)
    expect(joined(rows).at(-1)?.value).toBe(30)
  })
})
