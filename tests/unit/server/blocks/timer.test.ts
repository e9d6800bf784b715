import { describe, expect, test } from 'vitest'
import { counter } from '../../../../server/blocks/counter.ts'
import { timer } from '../../../../server/blocks/timer.ts'
import { BAD, GOOD, NONE } from '../../../../server/chain/column.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'

/** A row a second; `1` on, `0` off, `x` bad, `.` no value. */
const rows = (text: string) =>
  [...text].map((sign, nth) => ({
    timeS: nth,
    on: sign === 'x' ? flawed(0, BAD) : sign === '.' ? nothing : Number(sign),
  }))
const run = (mode: string, text: string, timeS = 3, gapS = 10) =>
  oneBlock(timer, { mode, timeS, gapS }).feed(rows(text))
const on = (mode: string, text: string, timeS = 3) =>
  run(mode, text, timeS)
    .map(({ all }) => all['on'])
    .join('')
const elapsed = (mode: string, text: string) =>
  run(mode, text)
    .map(({ all }) => all['elapsedS'])
    .join('')

/** Timing diagrams of IEC 61131-3 (TON, TOF, TP), from memory; one row a second, a time of 3 s. */
describe('timing diagrams', () => {
  test.each([
    ['on-delay', '0111111001100', '0000111000000', '0012333000100'],
    ['off-delay', '0110000011010000', '0111110011111110', '0000123300000123'],
    ['pulse, long input', '0111111000', '0111000000', '0012333000'],
    ['pulse, short input', '0100000110000', '0111000111000', '0012000012000'],
    ['pulse, edges meanwhile', '0101010000', '0111011100', '0012001200'],
  ])('%s', (name, given, q, et) => {
    const mode = name.split(',')[0]!
    expect(on(mode, given)).toBe(q)
    expect(elapsed(mode, given)).toBe(et)
  })

  test('a time of 0 changes nothing for delays', () => {
    expect(on('on-delay', '0110', 0)).toBe('0110')
    expect(on('off-delay', '0110', 0)).toBe('0110')
  })
})

test('a bad value leaves the input as it was known, and time runs on', () => {
  const out = run('on-delay', '01xx1')
  expect(out.map(({ all }) => all['on'])).toEqual([0, 0, 0, 0, 1])
  expect(out.map(({ quality }) => quality)).toEqual([GOOD, GOOD, BAD, BAD, GOOD])
})

test('rows without a value stay so', () => {
  expect(run('on-delay', '01.1').map(({ quality }) => quality)).toEqual([GOOD, GOOD, NONE, GOOD])
})

test('a delay begins anew over a silence or a time that goes back', () => {
  const at = (timeS: number, on: number) => ({ timeS, on })
  const silent = oneBlock(timer, { mode: 'on-delay', timeS: 3, gapS: 1.5 })
  const out = silent.feed([at(0, 1), at(1, 1), at(10, 1), at(11, 1), at(12, 1), at(13, 1)])
  expect(out.map(({ all }) => all['on'])).toEqual([0, 0, 0, 0, 0, 1])
  const back = oneBlock(timer, { mode: 'on-delay', timeS: 3, gapS: 1.5 })
  expect(
    back.feed([at(5, 1), at(6, 1), at(2, 1), at(3, 1), at(4, 1), at(5, 1)]).at(-1)!.all['on'],
  ).toBe(1)
})

describe('counter', () => {
  const count = (text: string, parameters = {}) =>
    oneBlock(counter, { preset: 2, ...parameters }).feed(rows(text))

  test('counts rising edges, and says when the preset is reached', () => {
    const out = count('0110101')
    expect(out.map(({ all }) => all['count'])).toEqual([0, 1, 1, 1, 2, 2, 3])
    expect(out.map(({ all }) => all['reached'])).toEqual([0, 0, 0, 0, 1, 1, 1])
  })

  test('counts an edge over bad values once, and no bad value', () => {
    expect(count('0x1xx1x0x1').map(({ all }) => all['count'])).toEqual([
      0, 0, 1, 1, 1, 1, 1, 1, 1, 2,
    ])
    expect(count('1x1.')[1]!.quality).toBe(BAD)
    expect(count('1x1.')[3]!.quality).toBe(NONE)
  })

  test('reset wins, and a bad reset does not', () => {
    const out = oneBlock(counter, { preset: 1 }).feed([
      { on: 1, reset: 0 },
      { on: 0, reset: flawed(1, BAD) },
      { on: 1, reset: 1 },
      { on: 1, reset: 0 },
      { on: 0, reset: 0 },
      { on: 1, reset: 0 },
    ])
    expect(out.map(({ all }) => all['count'])).toEqual([1, 1, 0, 0, 0, 1])
    expect(out[1]!.quality).toBe(BAD)
  })
})
