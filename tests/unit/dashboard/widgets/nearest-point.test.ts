import { expect, test } from 'vitest'
import { nearestPoint } from '../../../../dashboard/widgets/nearest-point.ts'
import type { SpringbackPoint } from '../../../../server/messages/springback.ts'

const point = (id: number, loadedDeg: number, springbackDeg: number): SpringbackPoint => ({
  ...{ id, loadedDeg, springbackDeg, offDeg: 0, standing: 'counts', why: null, decision: null },
})
const POINTS = [point(1, 40, 2), point(2, 42, 2.1), point(3, 90, 3)]
const placeOf = ({ loadedDeg, springbackDeg }: SpringbackPoint) => ({
  xPx: 10 * loadedDeg,
  yPx: 300 - 50 * springbackDeg,
})
const at = (xPx: number, yPx: number) => nearestPoint(POINTS, placeOf, { xPx, yPx })?.id ?? null

test('takes the nearest of those within reach', () => {
  expect(at(400, 200)).toBe(1)
  expect(at(412, 197)).toBe(2)
  expect(at(905, 160)).toBe(3)
})

test('takes none that a finger would not touch', () => {
  expect(at(900 + 23, 150)).toBeNull()
  expect(at(900 + 21, 150)).toBe(3)
  expect(nearestPoint([], placeOf, { xPx: 0, yPx: 0 })).toBeNull()
})
