import { describe, expect, test } from 'vitest'
import type { Check, ReferencePiece } from '../../../../server/messages/readout.ts'
import { chartOf, checkOf } from '../../../../server/station/check-entry.ts'
import { newCheck, newPiece, SETUP } from '../history/shop.ts'

const chained = { previousHash: 'a', hash: 'b' }
const piece: ReferencePiece = { id: 2, ...newPiece(), ...chained }
const compared = (meanDeg: number) => ({
  piece,
  reading: { meanDeg, sdDeg: 0.012, samples: 200, isGood: true },
  sensor: SETUP.sensor,
  calibration: 1,
  readout: { countsPerTurn: 16_384, datumSdDeg: 0.04 },
})

describe('checkOf', () => {
  test('readout less known angle, held against the limit', () => {
    expect(checkOf(compared(90.1234567))).toMatchObject({
      ...{ knownDeg: 90.02, readoutDeg: 90.123457, differenceDeg: 0.103457 },
      ...{ limitDeg: 0.2, passed: true, piece: 2, calibration: 1, readoutSdDeg: 0.012 },
    })
  })

  test.each([
    [90.22, true],
    [90.220001, false],
    [89.82, true],
    [89.819999, false],
  ])('%d° against 90.02 ± 0.2°: %s', (meanDeg, passed) => {
    expect(checkOf(compared(meanDeg)).passed).toBe(passed)
  })

  test('its uncertainty is that of the readout and of the piece (JCGM 100, by hand)', () => {
    const step = 360 / 16_384 / Math.sqrt(12)
    const standard = Math.hypot(step, step, 0.04, piece.standardDeg)
    expect(checkOf(compared(90)).expandedDeg).toBeCloseTo(2 * standard, 5)
  })

  test('where the counts of a turn are not known, neither is that', () => {
    expect(checkOf({ ...compared(90), readout: null }).expandedDeg).toBeNull()
  })
})

describe('chartOf', () => {
  const check = (id: number, differenceDeg: number, of = 2): Check => ({
    ...{ id, ...newCheck({ differenceDeg, piece: of }), ...chained },
  })

  test('is of the checks with that piece, oldest first, with limits at three sigma', () => {
    const chart = chartOf(piece, [check(9, 0.04), check(8, 9, 7), check(6, 0), check(5, 0.02)])
    expect(chart.checks.map(({ id }) => id)).toEqual([5, 6, 9])
    expect(chart.limits!.centreDeg).toBeCloseTo(0.02, 12)
    expect(chart.limits!.meanRangeDeg).toBeCloseTo(0.03, 12)
    // d2 = 1.128 for ranges of two (ISO 7870-2).
    expect(chart.limits!.upperDeg).toBeCloseTo(0.02 + (3 * 0.03) / 1.128, 12)
    expect(chart.checks.some(({ isBeyond }) => isBeyond)).toBe(false)
  })

  test('marks a check that is beyond them', () => {
    const calm = Array.from({ length: 12 }, (_, i) => check(30 - i, i % 2 === 0 ? 0 : 0.01))
    const chart = chartOf(piece, [check(31, 0.5), ...calm])
    expect(chart.checks.filter(({ isBeyond }) => isBeyond).map(({ id }) => id)).toEqual([31])
  })

  test.each([[[]], [[check(5, 0.1)]]])('has no limits from fewer than two', (checks) => {
    const chart = chartOf(piece, checks)
    expect(chart.limits).toBeNull()
    expect(chart.checks).toHaveLength(checks.length)
  })
})
