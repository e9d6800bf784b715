import { describe, expect, it } from 'vitest'
import { scale } from '../../server/blocks/scale.ts'
import { unwrap } from '../../server/blocks/unwrap.ts'
import { fitSixPositions } from '../../server/quality/accelerometer-fit.ts'
import { curveAt, harmonicsAt } from '../../server/quality/calibration-curve.ts'
import { fitCalibration } from '../../server/quality/calibration-fit.ts'
import { individualsChart } from '../../server/quality/individuals-chart.ts'
import { fitLinear } from '../../server/quality/linear-fit.ts'
import { stepStandard } from '../../server/quality/uncertainty-budget.ts'
import { oneBlock } from '../unit/server/blocks/one-block.ts'

const RAD = Math.PI / 180

describe('count conversions, computed apart from this program', () => {
  it.each([
    [256, 1.40625, 0.405949408],
    [1024, 0.3515625, 0.101487352],
    [4096, 0.087890625, 0.025371838],
    [8192, 0.0439453125, 0.012685919],
    [16_384, 0.02197265625, 0.00634296],
    [65_536, 0.0054931640625, 0.00158574],
    [1_048_576, 0.00034332275390625, 0.000099109],
    [1440, 0.25, 0.25 / Math.sqrt(12)],
    [3600, 0.1, 0.1 / Math.sqrt(12)],
    [20_000, 0.018, 0.018 / Math.sqrt(12)],
  ])('%d counts a turn: %d° a count, u = a/√12', (countsPerTurn, stepDeg, standardDeg) => {
    const [one] = oneBlock(scale, { countsPerTurn }).feed([{ counts: 1 }])
    expect(one!.value).toBeCloseTo(stepDeg, 12)
    expect(stepStandard(stepDeg)).toBeCloseTo(standardDeg, 9)
  })

  it.each([
    [4096, [0, 1, 11, 12, 45, 1023, 1024, 1025, 2048, 3072, 4090, 4095]],
    [16_384, [1, 45, 46, 2048, 4095, 4096, 8192, 16_383]],
  ])('%d counts a turn, count by count', (countsPerTurn, counts) => {
    const expectedDeg = {
      4096: [
        0, 0.087890625, 0.966796875, 1.0546875, 3.955078125, 89.912109375, 90, 90.087890625, 180,
        270, 359.47265625, 359.912109375,
      ],
      16384: [
        0.02197265625, 0.98876953125, 1.0107421875, 45, 89.97802734375, 90, 180, 359.97802734375,
      ],
    }[countsPerTurn]
    const rows = counts.map((each) => ({ counts: each }))
    const angles = oneBlock(scale, { countsPerTurn }).feed(rows)
    expect(angles.map(({ value }) => value)).toEqual(expectedDeg)
  })

  it('a 12-bit counter over its wrap and back', () => {
    const seen = [4000, 4060, 4090, 4095, 2, 40, 100, 4090, 4050]
    const joined = oneBlock(unwrap, { sensor: 'absolute', countsPerTurn: 4096 }).feed(
      seen.map((counts) => ({ counts })),
    )
    const moved = joined.map(({ value }) => value - joined[0]!.value)
    expect(moved).toEqual([0, 60, 90, 95, 98, 136, 196, 90, 50])
    expect(moved.map((counts) => (counts * 360) / 4096)).toEqual([
      0, 5.2734375, 7.91015625, 8.349609375, 8.61328125, 11.953125, 17.2265625, 7.91015625,
      4.39453125,
    ])
  })
})

describe('harmonics of an error curve at 0°, 30°… 330°', () => {
  /** Made with mean 0.12, amplitude 0.35 at 30° once and 0.08 at −75° twice a turn; six decimals. */
  const errorDeg = [
    0.022274, 0.176569, 0.274294, 0.345835, 0.413431, 0.443814, 0.372274, 0.176569, -0.075706,
    -0.260383, -0.286569, -0.162403,
  ]
  const angles = errorDeg.map((_, i) => 30 * i)
  const answer = {
    mean: 0.1199999167,
    once: [-0.17499989, 0.30310886],
    twice: [0.07727425, 0.02070566],
  }

  it('least squares gives mean, once and twice a turn to eight decimals', () => {
    const fit = fitLinear(
      angles.map((angle) => [1, ...harmonicsAt(angle, 2)]),
      errorDeg,
    )
    const expected = [answer.mean, ...answer.once, ...answer.twice]
    for (const [i, value] of expected.entries()) expect(fit!.coefficients[i]).toBeCloseTo(value, 8)
  })

  it('a calibration finds the curve by itself and takes it off', () => {
    const points = angles.map((readoutDeg, i) => ({
      readoutDeg,
      readoutSdDeg: 0,
      knownDeg: readoutDeg - errorDeg[i]!,
      standardDeg: 0.01,
    }))
    const fit = fitCalibration({ points, toleranceDeg: 0.5, curve: 'auto', hasFixedZero: true })
    expect(fit.curve).toBe('twice')
    expect(fit.scale).toBeCloseTo(1, 7)
    const flat = fit.harmonics.flatMap(({ cosDeg, sinDeg }) => [-cosDeg, -sinDeg])
    for (const [i, value] of [...answer.once, ...answer.twice].entries())
      expect(flat[i]).toBeCloseTo(value, 5)
    for (const { readoutDeg, knownDeg } of points)
      expect(curveAt(fit, readoutDeg)).toBeCloseTo(knownDeg, 5)
  })
})

describe('a ring out of centre by e at a head at R: error atan2(e sin u, R − e cos u)', () => {
  const excess = (eMm: number, rMm: number) => (angleDeg: number) =>
    Math.atan2(eMm * Math.sin(angleDeg * RAD), rMm - eMm * Math.cos(angleDeg * RAD)) / RAD

  it('e 0.1 mm, R 25 mm at 0°, 45°… 315°, computed apart from this program', () => {
    const error = excess(0.1, 25)
    const table = [0, 0.16251617, 0.2291819, 0.16159943, 0, -0.16159943, -0.2291819, -0.16251617]
    for (const [i, value] of table.entries()) expect(error(45 * i)).toBeCloseTo(value, 7)
  })

  it.each([
    [0.01, 10, 206.265],
    [0.05, 10, 1031.324],
    [0.1, 25, 825.059],
    [0.01, 50, 41.253],
    [0.025, 50, 103.132],
    [0.1, 50, 412.53],
  ])('e %d mm, R %d mm: a calibration finds the %d arcsec of the table', (eMm, rMm, arcsec) => {
    const error = excess(eMm, rMm)
    const points = Array.from({ length: 12 }, (_, i) => ({
      readoutDeg: 30 * i,
      readoutSdDeg: 0,
      knownDeg: 30 * i - error(30 * i),
      standardDeg: 0.01,
    }))
    const fit = fitCalibration({ points, toleranceDeg: 2, curve: 'twice', hasFixedZero: true })
    const [once] = fit.harmonics
    // The table gives the amplitude of the first order, e/R in arcseconds; 1 in 20,000 is its rounding.
    expect((Math.hypot(once!.cosDeg, once!.sinDeg) * 3600) / arcsec).toBeCloseTo(1, 4)
    for (const readoutDeg of [15, 77, 133, 280])
      expect(curveAt(fit, readoutDeg)).toBeCloseTo(readoutDeg - error(readoutDeg), 4)
  })
})

describe('tilt from two axes with an offset of 20 mg on each, computed apart from this program', () => {
  const offsetG = 0.02
  const shown = (xG: number, yG: number, zG: number) => ({
    xG: xG + offsetG,
    yG: yG + offsetG,
    zG: zG + offsetG,
  })
  const calibration = fitSixPositions([
    shown(1, 0, 0),
    shown(-1, 0, 0),
    shown(0, 1, 0),
    shown(0, -1, 0),
    shown(0, 0, 1),
    shown(0, 0, -1),
  ])
  const tiltDeg = (xG: number, yG: number) => Math.atan2(xG, yG) / RAD

  it.each([
    [0, 1.1233],
    [10, 0.9084],
    [30, 0.40827],
    [45, 0],
    [60, -0.40827],
    [80, -0.9084],
    [90, -1.1233],
  ])('at %d° the error is %d°, and six positions take it off', (angleDeg, errorDeg) => {
    const { xG, yG } = shown(Math.sin(angleDeg * RAD), Math.cos(angleDeg * RAD), 0)
    expect(tiltDeg(xG, yG) - angleDeg).toBeCloseTo(errorDeg, 5)
    const [x, y] = calibration
    const corrected = tiltDeg((xG - x.offsetG) / x.unitG, (yG - y.offsetG) / y.unitG)
    expect(corrected).toBeCloseTo(angleDeg, 10)
  })
})

describe('NIST/SEMATECH e-Handbook 6.3.2.2, individuals and moving range', () => {
  const flow = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]

  it('centre 50.81, mean range 1.8778, limits 55.8041 and 45.8159, none beyond', () => {
    const chart = individualsChart(flow)!
    expect(chart.centre).toBeCloseTo(50.81, 10)
    expect(chart.meanRange).toBeCloseTo(1.8778, 4)
    expect(chart.upper).toBeCloseTo(55.8041, 4)
    expect(chart.lower).toBeCloseTo(45.8159, 4)
    expect(chart.upperRange).toBeCloseTo(6.1347, 4)
    expect(chart.beyond).toEqual([])
  })
})
