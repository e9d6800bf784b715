import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../../server/bend/judge.ts'

const SEED = 4108

describe('judge', () => {
  it.each([
    [90, 'in', 0],
    [90.999, 'in', 0.999],
    [91, 'in', 1],
    [91.000001, 'over', 1.000001],
    [89, 'in', -1],
    [88.999999, 'under', -1.000001],
    [70, 'under', -20],
    [95, 'over', 5],
  ])('%d° for 90 ± 1 is %s', (releasedDeg, verdict, errorDeg) => {
    expect(judge(releasedDeg, { wantedDeg: 90, toleranceDeg: 1 })).toEqual({ verdict, errorDeg })
  })

  it('no binary digit decides: 30.8 for 30 ± 0.8 is in', () => {
    expect(30.8 - 30).toBeGreaterThan(0.8)
    expect(judge(30.8, { wantedDeg: 30, toleranceDeg: 0.8 })).toEqual({
      verdict: 'in',
      errorDeg: 0.8,
    })
  })

  it('the limits are in at any angle and tolerance of hundredths (seed 4108)', () =>
    fc.assert(
      fc.property(
        fc.integer({ min: 100, max: 20_000 }),
        fc.integer({ min: 5, max: 500 }),
        (wanted, tolerance) => {
          const job = { wantedDeg: wanted / 100, toleranceDeg: tolerance / 100 }
          expect(judge((wanted + tolerance) / 100, job).verdict).toBe('in')
          expect(judge((wanted - tolerance) / 100, job).verdict).toBe('in')
          expect(judge((wanted + tolerance + 1) / 100, job).verdict).toBe('over')
          expect(judge((wanted - tolerance - 1) / 100, job).verdict).toBe('under')
        },
      ),
      { seed: SEED },
    ))

  it('a tolerance of 0 takes only the angle itself', () => {
    expect(judge(90, { wantedDeg: 90, toleranceDeg: 0 }).verdict).toBe('in')
    expect(judge(90.00001, { wantedDeg: 90, toleranceDeg: 0 }).verdict).toBe('over')
  })

  it('a tube that sprang back past its datum is under', () => {
    expect(judge(-0.2, { wantedDeg: 5, toleranceDeg: 1 }).verdict).toBe('under')
  })

  it.each([
    ['released NaN', Number.NaN, 90, 1, 'RELEASED_ANGLE'],
    ['released infinite', Infinity, 90, 1, 'RELEASED_ANGLE'],
    ['wanted 0', 90, 0, 1, 'WANTED_ANGLE'],
    ['wanted NaN', 90, Number.NaN, 1, 'WANTED_ANGLE'],
    ['tolerance below 0', 90, 90, -0.1, 'TOLERANCE'],
    ['tolerance NaN', 90, 90, Number.NaN, 'TOLERANCE'],
    ['tolerance infinite', 90, 90, Infinity, 'TOLERANCE'],
  ])('%s is refused, never called in', (_name, releasedDeg, wantedDeg, toleranceDeg, code) => {
    expect(() => judge(releasedDeg, { wantedDeg, toleranceDeg })).toThrow(
      expect.objectContaining({ code }),
    )
  })
})
