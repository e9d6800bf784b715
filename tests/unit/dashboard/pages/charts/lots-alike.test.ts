import { expect, test } from 'vitest'
import { isOneAngle, wantedOfAll } from '../../../../../dashboard/pages/charts/lots-alike.ts'

const lot = (leastDeg: number, mostDeg = leastDeg) => ({
  ...{ lot: 'L', n: 2, meanDeg: 3, sdDeg: 0.1, wanted: { leastDeg, mostDeg } },
})
const none = { lot: 'N', n: 0, meanDeg: null, sdDeg: null, wanted: null }

test.each([
  ['one angle', [lot(90), lot(90), none], true],
  ['an angle a lot', [lot(90), lot(38)], false],
  ['a lot of several angles', [lot(38, 90)], false],
  ['no springback', [none], true],
])('lots of %s: alike or not', (_, lots, isAlike) => {
  expect(isOneAngle(wantedOfAll(lots))).toBe(isAlike)
})

test('all lots were bent to the least and the largest of any', () => {
  expect(wantedOfAll([lot(62, 90), none, lot(38)])).toEqual({ leastDeg: 38, mostDeg: 90 })
})
