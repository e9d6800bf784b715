import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { curveAt } from '../../../../server/quality/calibration-curve.ts'
import { fitCalibration } from '../../../../server/quality/calibration-fit.ts'
import type {
  CalibrationAsk,
  CalibrationPoint,
} from '../../../../server/quality/calibration-points.ts'
import {
  type CalibrationRefusal,
  CalibrationRefused,
} from '../../../../server/quality/calibration-refused.ts'

const point = (readoutDeg: number, knownDeg: number, more: Partial<CalibrationPoint> = {}) => ({
  readoutDeg,
  readoutSdDeg: 0.01,
  knownDeg,
  standardDeg: 0.05,
  ...more,
})
const ask = (points: readonly CalibrationPoint[], more: Partial<CalibrationAsk> = {}) => ({
  points,
  toleranceDeg: 0.5,
  curve: 'auto' as const,
  hasFixedZero: true,
  ...more,
})
const fitOf = (points: readonly CalibrationPoint[], more: Partial<CalibrationAsk> = {}) =>
  fitCalibration(ask(points, more))

function refusalOf(points: readonly CalibrationPoint[], more: Partial<CalibrationAsk> = {}) {
  try {
    fitOf(points, more)
  } catch (error) {
    if (error instanceof CalibrationRefused) return error
    throw error
  }
  throw new Error('It was not refused.')
}

/** Readouts of a true angle by an encoder that is 0.4° out of centre once and 0.1° twice a turn. */
const eccentric = (angles: readonly number[], noise: readonly number[] = []) =>
  angles.map((angle, i) => {
    const rad = (angle * Math.PI) / 180
    const error = 0.4 * Math.sin(rad - 0.5) + 0.1 * Math.sin(2 * rad + 1)
    return point(angle, angle - error + (noise[i] ?? 0))
  })
const everyDeg = (step: number, to: number) =>
  Array.from({ length: Math.floor(to / step) + 1 }, (_, i) => i * step)

describe('two points', () => {
  const fit = fitOf([point(12, 0), point(102.9, 90)])

  test('give scale and offset, no residual to tell by', () => {
    expect(fit.curve).toBe('line')
    expect(fit.scale).toBeCloseTo(90 / 90.9, 12)
    expect(curveAt(fit, 12)).toBeCloseTo(0, 10)
    expect(curveAt(fit, 102.9)).toBeCloseTo(90, 10)
    expect(fit).toMatchObject({ degreesOfFreedom: 0, residualSdDeg: null, leaveOneOutDeg: null })
  })

  test('are as uncertain as the gauge and the readout at both, in proportion to the angle', () => {
    const pointDeg = Math.hypot(0.05, 0.01)
    expect(fit.standardAt(90)).toBeCloseTo(Math.SQRT2 * pointDeg, 9)
    expect(fit.standardAt(45)).toBeCloseTo(fit.standardAt(90) / 2, 9)
    expect(fit.standardAt(0)).toBe(0)
  })

  test('in the other order give the same', () => {
    const other = fitOf([point(102.9, 90), point(12, 0)])
    expect(other.scale).toBeCloseTo(fit.scale, 12)
    expect(other.standardAt(60)).toBeCloseTo(fit.standardAt(60), 12)
  })

  test('far from readout 0, where an incremental counter may be', () => {
    const far = fitOf([point(1_000_012, 0), point(1_000_102.9, 90)])
    expect(far.scale).toBeCloseTo(fit.scale, 9)
    expect(far.standardAt(90)).toBeCloseTo(fit.standardAt(90), 6)
  })
})

describe('three points and more', () => {
  test('least squares: residuals, their sd, and the uncertainty of a new point', () => {
    const fit = fitOf([point(0, 0.1), point(45, 44.8), point(90, 90.1)])
    expect(fit.scale).toBeCloseTo(1, 12)
    const known = [0.1, -0.2, 0.1]
    for (const [i, residual] of known.entries())
      expect(fit.residualsDeg[i]).toBeCloseTo(residual, 10)
    expect(fit.residualSdDeg).toBeCloseTo(Math.sqrt(0.06), 10)
    // Leverages of three equal steps are 5/6, 1/3, 5/6 (by hand): 0.6, 0.3 and 0.6 off when left out.
    expect(fit.leaveOneOutDeg).toBeCloseTo(Math.sqrt((0.36 + 0.09 + 0.36) / 3), 10)
    expect(fit.standardAt(90)).toBeCloseTo(Math.sqrt(0.06 * (1 + 8100 / 4050)), 9)
  })

  test('an angle may be read twice, up and down', () => {
    const fit = fitOf([point(0, 0), point(90, 90), point(90.1, 90), point(0.1, 0)])
    // Scatter of the readouts flattens a line by as much as it adds to their spread (by hand): 0.01 in 8100.
    expect(fit.scale).toBeCloseTo(1 - 0.01 / 8100, 8)
    expect(fit.degreesOfFreedom).toBe(2)
  })
})

describe('an eccentric encoder', () => {
  test('is seen from eight points of a whole turn, both parts', () => {
    const fit = fitOf(eccentric(everyDeg(30, 330)), { toleranceDeg: 0.5 })
    expect(fit.curve).toBe('twice')
    for (const { readoutDeg, knownDeg } of eccentric([17, 133, 251]))
      expect(curveAt(fit, readoutDeg)).toBeCloseTo(knownDeg, 5)
    expect(fit.leaveOneOutDeg).toBeLessThan(1e-6)
  })

  test('six points asked for both parts pass through all six', () => {
    const fit = fitOf(eccentric(everyDeg(60, 300)), { curve: 'twice' })
    expect(fit).toMatchObject({ degreesOfFreedom: 0, leaveOneOutDeg: null })
    for (const residual of fit.residualsDeg) expect(residual).toBeCloseTo(0, 8)
    expect(fit.standardAt(100)).toBeGreaterThan(0)
  })

  test('a straight encoder stays a line, however many points (seed 5)', () => {
    const noise = fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 12, maxLength: 12 })
    let lines = 0
    fc.assert(
      fc.property(noise, (steps) => {
        const fit = fitOf(
          everyDeg(30, 330).map((angle, i) => point(angle, angle + steps[i]! / 1000)),
        )
        if (fit.curve === 'line') lines++
        expect(Math.abs(fit.scale - 1)).toBeLessThan(0.001)
      }),
      { seed: 5, numRuns: 100 },
    )
    // Where chance looks like a turn's error, a curve is allowed: it is rarely so.
    expect(lines).toBeGreaterThan(75)
  })

  test('without a fixed zero its errors have no place: a line, or a refusal', () => {
    const points = eccentric(everyDeg(30, 330))
    expect(fitOf(points, { hasFixedZero: false, toleranceDeg: 1 }).curve).toBe('line')
    const refused = refusalOf(points, { hasFixedZero: false, curve: 'once' })
    expect(refused.code).toBe('NO_FIXED_ZERO')
  })

  test('on a part of the turn the uncertainty grows beyond the points, and says so', () => {
    const noise = everyDeg(15, 120).map((_, i) => ((i * 7) % 5) / 100 - 0.02)
    const fit = fitOf(eccentric(everyDeg(15, 120), noise), { curve: 'once' })
    expect(fit.standardAt(240)).toBeGreaterThan(3 * fit.standardAt(60))
  })
})

describe('refusals', () => {
  const CASES: readonly [
    CalibrationRefusal,
    readonly CalibrationPoint[],
    Partial<CalibrationAsk>?,
  ][] = [
    ['TOO_FEW', []],
    ['TOO_FEW', [point(0, 0)]],
    ['TOO_MANY', Array.from({ length: 101 }, (_, i) => point(i, i))],
    ['NO_NUMBER', [point(0, 0), point(Number.NaN, 90)]],
    ['NO_NUMBER', [point(0, 0), point(90, Infinity)]],
    ['NO_NUMBER', [point(0, 0), point(90, 90, { standardDeg: Number.NaN })]],
    ['NO_NUMBER', [point(0, 0), point(90, 90, { standardDeg: 0 })]],
    ['NO_NUMBER', [point(0, 0), point(90, 90, { readoutSdDeg: -0.1 })]],
    ['SPAN', [point(0, 45), point(30, 45)]],
    ['SPAN', [point(0, 45), point(9, 54)]],
    ['SPAN', [point(0, 45), point(30, 45), point(60, 45)]],
    ['SCALE_ZERO', [point(7, 0), point(7, 90)]],
    ['SCALE_ZERO', [point(7, 0), point(7.5, 90)]],
    ['REVERSED', [point(0, 0), point(-90, 90)]],
    ['REVERSED', [point(300, 0), point(255.1, 45), point(210, 90)]],
    ['GAUGE', [point(0, 0), point(90, 90)], { toleranceDeg: 0.09 }],
    ['GAUGE', [point(0, 0), point(90, 90, { standardDeg: 0.3 })]],
    ['GAUGE', [point(0, 0), point(90, 90)], { toleranceDeg: Number.NaN }],
    ['CONTRADICTION', [point(0, 0), point(0, 30), point(90, 90)]],
    ['CONTRADICTION', [point(0, 0), point(45, 90), point(90, 45)]],
    ['CONTRADICTION', eccentric(everyDeg(30, 330)), { curve: 'line', toleranceDeg: 0.3 }],
    ['FEW_FOR_CURVE', eccentric(everyDeg(60, 240)), { curve: 'once' }],
    ['FEW_FOR_CURVE', [point(0, 0), point(90, 90)], { curve: 'twice' }],
    ['ILL_CONDITIONED', eccentric(everyDeg(4, 40)), { curve: 'twice' }],
  ]

  test.each(CASES)('%s', (code, points, more) => {
    const refused = refusalOf(points, more)
    expect(refused.code).toBe(code)
    expect(refused.message).toMatch(/^[A-Z][^.]*(\.\d[^.]*)*\.$/)
  })

  test('a contradiction names the point that is furthest off', () => {
    const points = everyDeg(15, 90).map((angle) => point(angle, angle))
    const slipped = points.with(4, point(60, 63))
    expect(refusalOf(slipped).message).toContain('point 5 is')
  })

  test('a gauge that is just certain enough serves', () => {
    expect(fitOf([point(0, 0), point(90, 90)], { toleranceDeg: 0.1 }).scale).toBe(1)
  })

  test('a sensor behind a gear, or with wrong counts a turn, is what a scale is for', () => {
    expect(fitOf([point(0, 0), point(360, 90)]).scale).toBeCloseTo(0.25, 12)
  })
})

test('any two points give their own angles back, or a sentence (seed 3)', () => {
  const angle = fc.double({ min: -720, max: 720, noNaN: true })
  fc.assert(
    fc.property(angle, angle, angle, angle, (r1, k1, r2, k2) => {
      const points = [point(r1, k1), point(r2, k2)]
      try {
        const fit = fitOf(points)
        expect(fit.scale).toBeGreaterThan(0)
        for (const { readoutDeg, knownDeg } of points)
          expect(curveAt(fit, readoutDeg)).toBeCloseTo(knownDeg, 6)
      } catch (error) {
        if (!(error instanceof CalibrationRefused)) throw error
        expect(error.message).not.toMatch(/NaN|undefined|Infinity/)
      }
    }),
    { seed: 3, numRuns: 500 },
  )
})
