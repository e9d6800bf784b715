import { describe, expect, test } from 'vitest'
import { pressure } from '../../../../server/blocks/pressure.ts'
import { switchInput } from '../../../../server/blocks/switch.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'

describe('pressure', () => {
  /** 0.5 to 4.5 V for 0 to 250 bar, as transducers of the trade have it, at 10 bits of 5 V. */
  const SHEET = { zeroCounts: 102, fullCounts: 921, fullBar: 250 }
  const barOf = (counts: number, parameters: object = SHEET) =>
    oneBlock(pressure, { ...parameters }).feed([{ counts }])[0]?.value

  test.each([
    [102, 0],
    [921, 250],
    [511.5, 125],
    [0, -31.1355],
  ])('%d counts are %d bar', (counts, bar) => {
    expect(barOf(counts)).toBeCloseTo(bar, 3)
  })

  test('may fall as counts rise', () => {
    expect(barOf(100, { zeroCounts: 1000, fullCounts: 0, fullBar: 100 })).toBeCloseTo(90, 9)
  })

  test('keeps the quality of the channel', () => {
    const rows = [{ counts: flawed(5, UNCERTAIN) }, { counts: flawed(5, BAD) }, { counts: nothing }]
    const out = oneBlock(pressure, SHEET).feed(rows)
    expect(out.map(({ quality }) => quality)).toEqual([UNCERTAIN, BAD, NONE])
  })

  test('needs two points', () => {
    expect(() => oneBlock(pressure, { ...SHEET, fullCounts: 102 })).toThrow(
      'zeroCounts and fullCounts must differ, both are 102.',
    )
  })
})

describe('a switch', () => {
  const closedOf = (counts: readonly number[], parameters = {}, stepS = 0.005) =>
    oneBlock(switchInput, parameters)
      .feed(counts.map((each, nth) => ({ counts: each, timeS: 10 + nth * stepS })))
      .map(({ value }) => value)

  test('is closed when its counts are not zero, or the other way round', () => {
    expect(closedOf([0, 5, 5, -1], {}, 1)).toEqual([0, 1, 1, 1])
    expect(closedOf([0, 5, 5, 0], { closedWhen: 'zero' }, 1)).toEqual([1, 0, 0, 1])
  })

  test('counts at its first edge, and does not bounce', () => {
    const bouncing = [0, 1, 0, 1, 0, 1, 1, 1, 1, 1]
    expect(closedOf(bouncing)).toEqual([0, 1, 1, 1, 1, 1, 1, 1, 1, 1])
    expect(closedOf(bouncing, { bounceS: 0 })).toEqual(bouncing)
  })

  test('that opens while it bounced is open when the bouncing is over', () => {
    expect(closedOf([0, 1, 0, 0, 0, 0, 0], {}, 0.006)).toEqual([0, 1, 1, 1, 1, 0, 0])
  })

  test('bad readings change nothing', () => {
    const rows = [
      { counts: 1, timeS: 1 },
      { counts: flawed(0, BAD), timeS: 2 },
      { counts: nothing, timeS: 3 },
      { counts: flawed(0, UNCERTAIN), timeS: 4 },
    ]
    const out = oneBlock(switchInput).feed(rows)
    expect(out.map(({ value }) => value)).toEqual([1, 1, 1, 0])
    expect(out.map(({ quality }) => quality)).toEqual([GOOD, BAD, NONE, UNCERTAIN])
  })
})
