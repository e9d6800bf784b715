import { describe, expect, it } from 'vitest'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'
import { ENCODER, makeSensor, type SensorSpec } from '../../../../firmware-protocol/bench/sensor.ts'

const quiet = (spec: Partial<SensorSpec> = {}) =>
  makeSensor({ ...ENCODER, noiseDeg: 0, ...spec }, makeRandom(1, 'sensor'))

describe('the encoder', () => {
  it.each([
    [0, 0],
    [360, 16_384],
    [90, 4096],
    [-90, -4096],
    [0.01, 0],
    [0.012, 1],
    [720, 32_768],
  ])('incremental: %d° is %d counts', (deg, counts) => {
    expect(quiet()(deg)).toBe(counts)
  })

  it.each([
    [0, 0],
    [90, 4096],
    [359.999, 0],
    [360, 0],
    [-0.022, 16_383],
    [-360, 0],
    [725, 228],
  ])('absolute: %d° is %d counts', (deg, counts) => {
    expect(quiet({ kind: 'absolute' })(deg)).toBe(counts)
  })

  it('counts from where it was switched on', () => {
    expect(quiet({ zeroDeg: 45 })(45)).toBe(0)
    expect(quiet({ zeroDeg: 45 })(0)).toBe(-2048)
  })

  it('does not know less than one count: steps of 360°/16384 = 0.022°', () => {
    const read = quiet()
    const seen = new Set(Array.from({ length: 100 }, (_, at) => read(at * 0.001)))
    expect(seen).toEqual(new Set([0, 1, 2, 3, 4, 5]))
  })

  it('scatters by its noise, around the truth (seed 4)', () => {
    const read = makeSensor({ ...ENCODER, countsPerTurn: 2 ** 24 }, makeRandom(4, 'sensor'))
    const errors = Array.from({ length: 20_000 }, () => (read(31) * 360) / 2 ** 24 - 31)
    const mean = errors.reduce((a, b) => a + b, 0) / errors.length
    const sd = Math.sqrt(errors.reduce((sum, e) => sum + (e - mean) ** 2, 0) / errors.length)
    expect(Math.abs(mean)).toBeLessThan(0.001)
    expect(sd).toBeGreaterThan(0.024)
    expect(sd).toBeLessThan(0.026)
  })

  it('sits on centre unless told otherwise; off centre it errs once a turn', () => {
    const errorDeg = (deg: number): number =>
      (quiet({ eccentricityDeg: 0.3, countsPerTurn: 2 ** 24 })(deg) * 360) / 2 ** 24 - deg
    expect(ENCODER.eccentricityDeg).toBe(0)
    expect(errorDeg(90)).toBeCloseTo(0.3, 4)
    expect(errorDeg(180)).toBeCloseTo(0, 4)
    expect(errorDeg(270)).toBeCloseTo(-0.3, 4)
  })

  it.each([0, 3, -4096, 4096.5, Number.NaN, Number.POSITIVE_INFINITY])(
    'is refused with %d counts a turn',
    (countsPerTurn) => {
      expect(() => quiet({ countsPerTurn })).toThrow(RangeError)
    },
  )
})
