import { describe, expect, test } from 'vitest'
import { compared, differing } from '../../../../../dashboard/pages/chain/proof-figures.ts'
import type { ProofOfBend, ProvedBend } from '../../../../../server/messages/chain.ts'

const PROOF: ProofOfBend = {
  ...{ datumDeg: 12.3, peakDeg: 92.41, releasedDeg: 90.02, cueDeg: 91.5, cueS: 11.2 },
  trace: { tS: [0, 1], angleDeg: [0, 90] },
}
const bend = (after: Partial<ProofOfBend> | null): ProvedBend => ({
  ...{ id: 7, before: PROOF, why: null },
  after: after === null ? null : { ...PROOF, ...after },
})

describe('a figure by the chain of the record and by the draft', () => {
  test.each([
    ['peakDeg', { peakDeg: 92.3 }, '92.41°', '92.30°', '−0.11°', false],
    ['cueS', { cueS: 11.25 }, '11.200 s', '11.250 s', '+0.050 s', false],
    ['releasedDeg', {}, '90.02°', '90.02°', '0.00°', true],
    ['releasedDeg', { releasedDeg: 90.0201 }, '90.02°', '90.02°', '+0.00°', true],
    ['cueDeg', { cueDeg: null }, '91.50°', 'none', '', false],
  ] as const)('%s with %j', (quantity, after, old, now, difference, isAlike) => {
    expect(compared(bend(after), quantity)).toEqual({
      ...{ before: old, after: now, difference, isAlike },
    })
  })

  test('bends with another figure are counted, to the digits shown', () => {
    expect(differing([bend({}), bend({ peakDeg: 92.4101 })])).toBe(0)
    expect(differing([bend({}), bend({ peakDeg: 92 }), bend(null)])).toBe(2)
  })
})
