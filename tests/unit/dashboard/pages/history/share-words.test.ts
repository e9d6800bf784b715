import { describe, expect, test } from 'vitest'
import { sharesOf } from '../../../../../dashboard/pages/history/share-words.ts'
import type { Bend } from '../../../../../server/messages/bends.ts'
import { makeFakeHistory } from '../../../../support/fake-history.ts'
import { newBend, newCheck, readoutOf } from '../../../server/history/shop.ts'

const BEND = makeFakeHistory().append(newBend(1), { chain: '', snapshot: '', lines: [] })

const ENTRY = makeFakeHistory().addReadoutEntry(newCheck())

const cameFrom = (change: Partial<Bend>) => sharesOf({ ...BEND, wantedDeg: 90, ...change })

const prediction = (springbackDeg: number) => ({
  springbackDeg,
  lowDeg: 2,
  highDeg: 4,
  degreesOfFreedom: 6,
  bendsLearned: 0,
})

describe('where the error of a bend came from', () => {
  const late = { commandedDeg: 93, peakDeg: 93.5, releasedDeg: 90.2, prediction: prediction(3) }

  test('is told by its shares, the largest first', () => {
    expect(cameFrom(late)).toBe('stop +0.48°, tube −0.30°')
  })
  test('leaves a share out that is next to nothing, but never all of them', () => {
    expect(cameFrom({ ...late, releasedDeg: 90.5 })).toBe('stop +0.48°')
    expect(cameFrom({ ...late, peakDeg: 93, releasedDeg: 90.01 })).toBe('tube +0.01°')
  })
  test('names an aim that was short on purpose', () => {
    expect(cameFrom({ ...late, commandedDeg: 92.4, peakDeg: 92.4, releasedDeg: 89.4 })).toMatch(
      /^aimed short −0\.60°/,
    )
  })
  test('tells how far the readout can be trusted, or what an angle finder said of it', () => {
    const readout = { ...readoutOf(ENTRY, ENTRY), releasedExpandedDeg: 0.14 }
    expect(cameFrom({ ...late, readout })).toBe('stop +0.48°, tube −0.30°, readout ± 0.14°')
    expect(cameFrom({ ...late, readout: { ...readout, calibration: null } })).toBe(
      'stop +0.48°, tube −0.30°',
    )
    expect(cameFrom({ ...late, readout, checkedDeg: 89.8 })).toBe(
      'stop +0.48°, tube −0.30°, readout +0.40° against the angle finder',
    )
  })
  test('says nothing of a readout that did not see the tube stand', () => {
    const byHand = { checkedDeg: 90.2, releasedFrom: 'checked' as const }
    expect(cameFrom({ ...late, ...byHand })).toBe('stop +0.48°, tube −0.30°')
  })
  test.each([{ releasedDeg: null }, { commandedDeg: null }, { prediction: null }])(
    'is not known of %o',
    (change) => {
      expect(cameFrom({ ...late, ...change })).toBe('–')
    },
  )
})
