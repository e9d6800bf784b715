import { expect, test } from 'vitest'
import { rangeOf } from '../../../../../dashboard/pages/springback/chart-range.ts'
import type { SpringbackView } from '../../../../../server/messages/springback.ts'

const view = (priorHighDeg: number, pointDeg: number) =>
  ({
    loadedDeg: [0, 50, 100],
    posterior: { springbackDeg: [0, 2, 3], lowDeg: [0, 1, 2], highDeg: [0, 3, 4] },
    prior: { springbackDeg: [0, 2, 3], lowDeg: [0, 0, 0], highDeg: [0, 4, priorHighDeg] },
    points: [{ springbackDeg: pointDeg }],
  }) as unknown as SpringbackView

test('holds what is known and every bend', () => {
  expect(rangeOf(view(2, 3)).endDeg).toBe(100)
  expect(rangeOf(view(2, 3)).topDeg).toBeGreaterThan(4)
  expect(rangeOf(view(2, 9)).topDeg).toBeGreaterThan(9)
})

test('holds the band before its bends, as long as that leaves what is known large enough to read', () => {
  expect(rangeOf(view(5.5, 3)).topDeg).toBeGreaterThan(5.5)
  expect(rangeOf(view(40, 3)).topDeg).toBeLessThan(7)
})
