import { describe, expect, test } from 'vitest'
import { datum } from '../../../../server/blocks/datum.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock, type Row } from './one-block.ts'

const SET = { act: 'datum' }
const LOST = { reason: 'device restarted' }
const samples = (cells: readonly unknown[], fromS = 0): Row[] =>
  cells.map((angle, nth) => ({ timeS: fromS + nth / 200, angle }))
const command = (timeS: number): Row => ({ timeS, command: SET })

test('before the first datum the readout shows, uncertain', () => {
  const rows = oneBlock(datum).feed(samples([12, 13]))
  expect(rows.map(({ value, quality }) => [value, quality])).toEqual([
    [12, UNCERTAIN],
    [13, UNCERTAIN],
  ])
})

test('the datum takes the mean readout of the last quarter second off, and says so', () => {
  const wobble = Array.from({ length: 200 }, (_, nth) => 40 + (nth % 2 ? 0.1 : -0.1))
  const rows = oneBlock(datum).feed([...samples(wobble), command(1), { timeS: 1, angle: 50 }])
  expect(rows[200]?.all['datum']).toEqual({ timeS: 0.995, readoutDeg: expect.closeTo(40, 2) })
  expect(rows[201]).toMatchObject({ value: expect.closeTo(10, 2), quality: GOOD })
})

test('only the last quarter second counts', () => {
  const rows = oneBlock(datum).feed([
    ...samples(new Array(200).fill(0)),
    ...samples(new Array(52).fill(7), 1),
    command(1.26),
  ])
  expect(rows.at(-1)?.all['datum']).toMatchObject({ readoutDeg: 7 })
})

test('at a high rate the ring is full before the quarter second is: the newest 256 count', () => {
  const fast = Array.from({ length: 600 }, (_, nth) => ({
    timeS: nth / 4000,
    angle: nth < 344 ? 0 : 5,
  }))
  const rows = oneBlock(datum).feed([...fast, command(0.15)])
  expect(rows.at(-1)?.all['datum']).toMatchObject({ readoutDeg: 5 })
})

test('one sample is enough', () => {
  const rows = oneBlock(datum).feed([...samples([3]), command(0.01), { timeS: 0.02, angle: 4 }])
  expect(rows.at(-1)).toMatchObject({ value: 1, quality: GOOD })
})

test('a second datum replaces the first', () => {
  const block = oneBlock(datum)
  block.feed([...samples([10, 10]), command(0.02)])
  const rows = block.feed([...samples([30, 30], 5), command(5.02), { timeS: 5.03, angle: 31 }])
  expect(rows.map(({ value }) => value)).toEqual([20, 20, expect.any(Number), 1])
})

describe('no datum is taken', () => {
  const taken = (rows: Row[]) =>
    oneBlock(datum)
      .feed(rows)
      .some(({ all }) => all['datum'] !== null)
  test.each<[string, Row[]]>([
    ['without a sample', [command(1)]],
    ['from bad samples alone', [...samples([flawed(5, BAD), flawed(6, BAD)]), command(0.02)]],
    ['from a readout that is a second old', [...samples([5]), command(1.01)]],
    [
      'right after the origin was lost',
      [...samples([5]), { timeS: 0.1, lost: LOST }, command(0.1)],
    ],
    [
      'by another command',
      [...samples([5]), { timeS: 0.01, command: { act: 'close', reason: '' } }],
    ],
  ])('%s', (_, rows) => {
    expect(taken(rows)).toBe(false)
  })

  test('while a readout just under a second old will do', () => {
    expect(taken([...samples([5]), command(0.99)])).toBe(true)
  })
})

test('bad samples among good ones make no part of the datum', () => {
  const rows = oneBlock(datum).feed([...samples([4, flawed(900, BAD), 4]), command(0.02)])
  expect(rows.at(-1)?.all['datum']).toMatchObject({ readoutDeg: 4 })
})

describe('an origin that was lost', () => {
  test('after a datum: angles are bad until the next one', () => {
    const block = oneBlock(datum)
    block.feed([...samples([10]), command(0.01)])
    const rows = block.feed([{ timeS: 1, lost: LOST }, ...samples([10, 11], 1), command(1.01)])
    expect(rows.map(({ quality }) => quality)).toEqual([NONE, BAD, BAD, NONE])
    expect(block.feed(samples([12], 2))[0]).toMatchObject({ value: 1.5, quality: GOOD })
  })

  test('before a datum: nothing was lost that was there', () => {
    const rows = oneBlock(datum).feed([{ timeS: 1, lost: LOST }, ...samples([10], 1)])
    expect(rows[1]?.quality).toBe(UNCERTAIN)
  })
})

test('quality is never raised, and no value stays none', () => {
  const block = oneBlock(datum)
  block.feed([...samples([10]), command(0.01)])
  const rows = block.feed(samples([flawed(1, UNCERTAIN), flawed(1, BAD), nothing], 1))
  expect(rows.map(({ quality }) => quality)).toEqual([UNCERTAIN, BAD, NONE])
})
