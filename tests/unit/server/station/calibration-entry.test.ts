import { describe, expect, test } from 'vitest'
import type { Calibration, CalibrationAsk } from '../../../../server/messages/readout.ts'
import { fitCalibration } from '../../../../server/quality/calibration-fit.ts'
import { fitOf, parametersOf, shareOf } from '../../../../server/station/calibration-entry.ts'
import { newCalibration } from '../history/shop.ts'

const point = (readoutDeg: number, knownDeg: number, readoutSdDeg = 0.03) => ({
  ...{ readoutDeg, knownDeg, readoutSdDeg },
  standardDeg: 0.05,
})
const ask = (more: Partial<CalibrationAsk> = {}): CalibrationAsk => ({
  who: 'Quality',
  gauge: { name: 'Blocks', certificate: '' },
  toleranceDeg: 0.5,
  points: [point(10, 0), point(40.2, 30, 0.04), point(70.1, 60, 0), point(100.3, 90, 0)],
  ...more,
})
const entered = (given = ask()): Calibration => ({
  ...newCalibration(),
  ...fitOf(given, true),
  ...{ id: 1, previousHash: 'a', hash: 'b' },
})

describe('fitOf', () => {
  test('is the fit, to a millionth of a degree, with its residuals beside the points', () => {
    const { points, toleranceDeg } = ask()
    const fit = fitCalibration({ points, toleranceDeg, curve: 'line', hasFixedZero: true })
    const made = fitOf(ask(), true)
    expect(made.turnDeg).toBeCloseTo(360 * fit.scale, 6)
    expect(made.turnDeg * 1e6).toBeCloseTo(Math.round(made.turnDeg * 1e6), 3)
    expect(made.points.map(({ residualDeg }) => residualDeg)).toEqual(
      fit.residualsDeg.map((residual) => expect.closeTo(residual, 6)),
    )
    expect(made).toMatchObject({ curve: 'line', sparePoints: 2, spanDeg: 90, harmonics: [] })
    expect(made.repeatSdDeg).toBeCloseTo(0.025, 6)
    expect(made.uncertainty.map(({ atDeg }) => atDeg)).toEqual([0, 15, 30, 45, 60, 75, 90])
    expect(made.uncertainty[6]!.standardDeg).toBeCloseTo(fit.standardAt(90), 6)
  })

  test('a refusal is one for the page, with the sentence', () => {
    const refused = expect.objectContaining({
      code: 'calibration-refused',
      message: expect.stringContaining('needs at least two points'),
    })
    expect(() => fitOf(ask({ points: [] }), true)).toThrow(refused)
  })

  test('a mistake of the program is none', () => {
    const broken = { ...ask(), points: null } as unknown as CalibrationAsk
    expect(() => fitOf(broken, true)).toThrow(TypeError)
  })
})

describe('parametersOf', () => {
  test('are the numbers that stand in the log', () => {
    expect(parametersOf({ ...entered(), turnDeg: 359.1, harmonics: [] })).toEqual({
      ...{ scale: 359.1 / 360, onceCosDeg: 0, onceSinDeg: 0, twiceCosDeg: 0, twiceSinDeg: 0 },
    })
    const harmonics = [
      { cosDeg: 1, sinDeg: 2 },
      { cosDeg: 3, sinDeg: 4 },
    ]
    expect(parametersOf({ ...entered(), harmonics })).toMatchObject({
      ...{ onceCosDeg: 1, onceSinDeg: 2, twiceCosDeg: 3, twiceSinDeg: 4 },
    })
  })
})

describe('shareOf', () => {
  const calibration = entered()
  const standardDeg = (angleDeg: number) => shareOf(calibration, angleDeg).fitStandardDeg

  test('is what was told at the told angles, between them in between, either way', () => {
    for (const { atDeg, standardDeg: told } of calibration.uncertainty)
      expect(standardDeg(atDeg)).toBeCloseTo(told, 12)
    expect(standardDeg(22.5)).toBeGreaterThan(standardDeg(15))
    expect(standardDeg(22.5)).toBeLessThan(standardDeg(30))
    expect(standardDeg(-30)).toBe(standardDeg(30))
  })

  test('beyond what was calibrated it grows with the angle', () => {
    expect(standardDeg(180)).toBeCloseTo(2 * standardDeg(90), 12)
  })

  test('carries gauge, repeat and points to spare', () => {
    expect(shareOf(calibration, 90)).toMatchObject({
      ...{ gaugeStandardDeg: 0.05, repeatSdDeg: 0.025, degreesOfFreedom: 2 },
    })
  })
})
