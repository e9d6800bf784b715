import { expect, test } from 'vitest'
import {
  heightsOfSpreads,
  shortened,
  thatFit,
} from '../../../../../dashboard/pages/charts/spreads.ts'

const lots = Array.from({ length: 30 }, (_, n) => ({
  ...{ name: `RT-${n}`, meanDeg: 3 + n / 100, sdDeg: n === 0 ? null : 0.1 },
}))
test('the newest lots are drawn that find room, and never fewer than three', () => {
  expect(thatFit(lots, 900).map(({ name }) => name)).toEqual(lots.slice(20).map(({ name }) => name))
  expect(thatFit(lots, 10)).toHaveLength(3)
  expect(thatFit(lots.slice(0, 2), 900)).toHaveLength(2)
})

test('every bar is inside, and so is zero where it is asked for', () => {
  const [low, high] = heightsOfSpreads(lots, false)
  expect(low).toBeLessThan(2.91)
  expect(low).toBeGreaterThan(2)
  expect(high).toBeGreaterThan(3.39)
  expect(heightsOfSpreads(lots, true)[0]).toBeLessThan(0)
  expect(heightsOfSpreads([{ name: 'one', meanDeg: 3, sdDeg: null }], false)).toEqual([2.95, 3.05])
})

test('a long name is shortened by whole letters', () => {
  expect(shortened('RT-2207')).toBe('RT-2207')
  expect(shortened('🔧'.repeat(11))).toBe('🔧'.repeat(11))
  expect(shortened('🔧'.repeat(12))).toBe(`${'🔧'.repeat(11)}…`)
})
