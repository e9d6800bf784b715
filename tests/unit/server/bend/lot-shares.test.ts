import { rootMeanSquare } from 'simple-statistics'
import { expect, test } from 'vitest'
import { errorShares } from '../../../../server/bend/error-shares.ts'
import { lotShares } from '../../../../server/bend/lot-shares.ts'

const bend = (peakDeg: number, releasedDeg: number, readoutExpandedDeg: number | null = 0.1) => ({
  ...{ wantedDeg: 90, commandedDeg: 93, peakDeg, releasedDeg, expectedDeg: 3.1 },
  readoutExpandedDeg,
})
const BENDS = [bend(93.4, 90.1), bend(92.8, 89.9), bend(93.1, 89.2, 0.14)]

test('are the root mean squares of what each bend was put off by', () => {
  const each = BENDS.map((one) => errorShares(one) ?? { stopDeg: 0, tubeDeg: 0, aimDeg: 0 })
  const shares = lotShares(BENDS)
  expect(shares?.bends).toBe(3)
  for (const cause of ['stopDeg', 'tubeDeg', 'aimDeg'] as const)
    expect(shares?.[cause]).toBeCloseTo(rootMeanSquare(each.map((one) => one[cause])), 12)
  expect(shares?.readoutDeg).toBeCloseTo(rootMeanSquare([0.05, 0.05, 0.07]), 12)
})

test('a bend of which something is not known is left out', () => {
  expect(lotShares([...BENDS, { ...bend(93, 90), expectedDeg: null }])).toEqual(lotShares(BENDS))
  expect(lotShares([bend(93, 90, null)])?.readoutDeg).toBeNull()
})

test('are not known where no bend tells them', () => {
  expect(lotShares([])).toBeNull()
  expect(lotShares([{ ...bend(93, 90), commandedDeg: null }])).toBeNull()
})
