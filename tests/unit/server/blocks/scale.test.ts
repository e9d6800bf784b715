import { describe, expect, test } from 'vitest'
import { scale } from '../../../../server/blocks/scale.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'

const degrees = (parameters: Record<string, unknown>, counts: number, countsPerTurn?: number) =>
  oneBlock(scale, parameters).feed([
    countsPerTurn === undefined ? { counts } : { counts, countsPerTurn },
  ])[0]

describe('degrees', () => {
  test.each([
    ['a quarter turn', {}, 1024, 4096, 90],
    ['more than a turn', {}, 6144, 4096, 540],
    ['backwards', { direction: -1 }, 1024, 4096, -90],
    ['the parameter before the board', { countsPerTurn: 2048 }, 1024, 4096, 180],
    ['behind a gear of 4 to 1', { degPerTurn: 90 }, 1024, 4096, 22.5],
    ['zero', {}, 0, 4096, 0],
  ])('%s', (_, parameters, counts, countsPerTurn, angleDeg) => {
    expect(degrees(parameters, counts, countsPerTurn)?.value).toBe(angleDeg)
  })
})

test('as long as nobody says what a turn is, values are bad', () => {
  expect(degrees({}, 1024)).toMatchObject({ value: 0, quality: BAD })
  expect(degrees({ countsPerTurn: 4096 }, 1024)).toMatchObject({ value: 90, quality: GOOD })
})

test('quality is never raised, and no value stays none', () => {
  const rows = [{ counts: flawed(1, UNCERTAIN) }, { counts: flawed(1, BAD) }, { counts: nothing }]
  const known = oneBlock(scale, { countsPerTurn: 4096 }).feed(rows)
  expect(known.map(({ quality }) => quality)).toEqual([UNCERTAIN, BAD, NONE])
  const unknown = oneBlock(scale).feed(rows)
  expect(unknown.map(({ quality }) => quality)).toEqual([BAD, BAD, NONE])
})
