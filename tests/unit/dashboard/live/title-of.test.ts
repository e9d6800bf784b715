import { expect, test } from 'vitest'
import { routeOf } from '../../../../dashboard/live/route-of.ts'
import { titleOf } from '../../../../dashboard/live/title-of.ts'

test.each([
  ['', 'Bend · Overbend'],
  ['#/history?part=BR-5', 'History · Overbend'],
  ['#/history/40', 'Bend 40 · Overbend'],
  ['#/history/charts', 'Charts · Overbend'],
  ['#/chain/blocks', 'Blocks · Overbend'],
  ['#/nothing', 'No such page · Overbend'],
])('the page at "%s" is called %s', (hash, title) => {
  expect(titleOf(routeOf(hash))).toBe(title)
})
