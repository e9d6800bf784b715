import { describe, expect, test } from 'vitest'
import { degrees } from '../../../../server/blocks/degrees.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'

const angles = (values: readonly number[], parameters: Record<string, unknown> = {}) =>
  oneBlock(degrees, parameters)
    .feed(values.map((value) => ({ value })))
    .map(({ value }) => value)

describe('degrees of the die', () => {
  test.each<[string, Record<string, unknown>, number[], number[]]>([
    ['as they are', {}, [0, 47.25], [0, 47.25]],
    ['the other way', { direction: -1 }, [10, 20], [-10, -20]],
    ['over the seam of 360', {}, [359, 1, 90], [359, 361, 450]],
    ['and back', {}, [1, 359], [1, -1]],
    ['over the seam of a sensor from −180 to 180', {}, [179, -179], [179, 181]],
    ['without a seam', { wrapsAt: 0 }, [359, 1], [359, 1]],
    ['behind a gear', { degPerTurn: 90 }, [0, 360 * 0.25], [0, 22.5]],
    ['behind a gear, over the seam', { degPerTurn: 90 }, [350, 10], [87.5, 92.5]],
    ['in counts', { perTurn: 4096, wrapsAt: 0 }, [0, 1024, 5120], [0, 90, 450]],
    ['in counts that wrap', { perTurn: 4096, wrapsAt: 4096 }, [4000, 96], [351.5625, 368.4375]],
    [
      'in counts of 16 bits',
      { perTurn: 4096, wrapsAt: 65_536 },
      [65_535, 1],
      [5759.912109375, 5760.087890625],
    ],
  ])('%s', (_, parameters, values, expected) => {
    expect(angles(values, parameters)).toEqual(expected)
  })
})

test('as long as nobody says what a turn is, values are bad', () => {
  const rows = oneBlock(degrees, { perTurn: 0, wrapsAt: 0 }).feed([{ value: 5 }])
  expect(rows[0]).toMatchObject({ value: 0, quality: BAD })
})

test('a bad reading is no position: the last one stands, and the next joins on to it', () => {
  const rows = oneBlock(degrees).feed([
    { value: 350 },
    { value: flawed(0, BAD) },
    { value: nothing },
    { value: flawed(10, UNCERTAIN) },
  ])
  expect(rows.map(({ value, quality }) => [value, quality])).toEqual([
    [350, GOOD],
    [350, BAD],
    [350, NONE],
    [370, UNCERTAIN],
  ])
})

describe('after the wire was lost', () => {
  const lost = { value: nothing, command: { act: 'link', state: 'lost' } }
  const back = { value: nothing, command: { act: 'link', state: 'back' } }
  const run = (keepsZero: boolean) =>
    oneBlock(degrees, { keepsZero }).feed([{ value: 30 }, lost, back, { value: 2 }, { value: 3 }])

  test('a sensor that keeps its zero reads on', () => {
    const rows = run(true)
    expect(rows.map(({ value }) => value)).toEqual([30, 30, 30, 2, 3])
    expect(rows.some(({ all }) => all['lost'])).toBe(false)
  })
  test('one that begins anew has lost its zero, once, and goes on from where it stood', () => {
    const rows = run(false)
    expect(rows.map(({ value }) => value)).toEqual([30, 30, 30, 30, 31])
    expect(rows.flatMap(({ all }, row) => (all['lost'] ? [row] : []))).toEqual([3])
  })
  test('before any reading nothing can be lost', () => {
    const rows = oneBlock(degrees, { keepsZero: false }).feed([lost, { value: 30 }])
    expect(rows[1]).toMatchObject({ value: 30 })
    expect(rows.some(({ all }) => all['lost'])).toBe(false)
  })
})
