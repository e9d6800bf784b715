import { describe, expect, it } from 'vitest'
import { liveBudget, releasedBudget } from '../../../../server/bend/uncertainty.ts'

/** u of one step of a 12-bit ring, 0.087890625°/√12, computed outside the project. */
const TWELVE_BIT_DEG = 0.025371838

describe('liveBudget', () => {
  it('a step of full width a is a/√12, once now and once at the datum', () => {
    const { components, standardDeg } = liveBudget({ countsPerTurn: 4096, datumSdDeg: 0 })
    expect(components.map((c) => c.name)).toEqual([
      'readout step',
      'readout step at the datum',
      'repeat of the datum',
    ])
    expect(components[0]!.standardDeg).toBeCloseTo(TWELVE_BIT_DEG, 9)
    expect(standardDeg).toBeCloseTo(0.0359, 4)
  })

  it('adds as squares, and doubles where no part rests on few readings', () => {
    const { standardDeg, expandedDeg } = liveBudget({ countsPerTurn: 4096, datumSdDeg: 0.05 })
    expect(standardDeg).toBeCloseTo(Math.sqrt(2 * TWELVE_BIT_DEG ** 2 + 0.05 ** 2), 9)
    expect(expandedDeg).toBeCloseTo(2 * standardDeg, 9)
  })

  it('assumes a datum that repeats to 0.05°', () => {
    expect(liveBudget({ countsPerTurn: 8192 })).toEqual(
      liveBudget({ countsPerTurn: 8192, datumSdDeg: 0.05 }),
    )
  })

  it('a finer ring is surer', () => {
    const coarse = liveBudget({ countsPerTurn: 1440 }).expandedDeg
    expect(liveBudget({ countsPerTurn: 8000 }).expandedDeg).toBeLessThan(coarse)
  })

  it.each([0, -4096, 0.5, Number.NaN, Infinity])(
    'refuses %d counts for a turn',
    (countsPerTurn) => {
      const code = 'COUNTS_PER_TURN'
      expect(() => liveBudget({ countsPerTurn })).toThrow(expect.objectContaining({ code }))
    },
  )

  it.each([-0.01, Number.NaN, Infinity])('refuses a datum repeat of %d°', (datumSdDeg) => {
    const code = 'STANDARD_UNCERTAINTY'
    expect(() => liveBudget({ countsPerTurn: 4096, datumSdDeg })).toThrow(
      expect.objectContaining({ code }),
    )
  })
})

describe('releasedBudget', () => {
  it('adds the plateau’s standard error', () => {
    const readout = { countsPerTurn: 4096, datumSdDeg: 0.03 }
    const released = releasedBudget(readout, 0.04)
    const live = liveBudget(readout)
    expect(released.components).toHaveLength(4)
    expect(released.standardDeg).toBeCloseTo(Math.hypot(live.standardDeg, 0.04), 12)
    expect(released.expandedDeg).toBeCloseTo(2 * released.standardDeg, 9)
  })

  it('is the live one when the plateau is perfectly still', () => {
    const readout = { countsPerTurn: 4096 }
    expect(releasedBudget(readout, 0).standardDeg).toBe(liveBudget(readout).standardDeg)
  })

  it.each([-1, Number.NaN, Infinity])('refuses a standard error of %d°', (seDeg) => {
    const code = 'STANDARD_UNCERTAINTY'
    expect(() => releasedBudget({ countsPerTurn: 4096 }, seDeg)).toThrow(
      expect.objectContaining({ code }),
    )
  })
})

describe('with a calibration', () => {
  const share = {
    fitStandardDeg: 0.05,
    degreesOfFreedom: 1,
    gaugeStandardDeg: 0.03,
    repeatSdDeg: 0.01,
  }
  const readout = { countsPerTurn: 4096, datumSdDeg: 0.03 }

  it('curve, gauge and repeat add as squares', () => {
    const { standardDeg, components } = liveBudget({ ...readout, calibration: share })
    const before = liveBudget(readout).standardDeg
    expect(standardDeg).toBeCloseTo(Math.hypot(before, 0.05, 0.03, 0.01), 12)
    expect(components.map(({ name }) => name).slice(3)).toEqual([
      'calibration curve',
      'gauge',
      'repeat of the readout',
    ])
  })

  it('three points only: the coverage factor grows with what one spare point says', () => {
    const few = liveBudget({ ...readout, calibration: share })
    // Welch–Satterthwaite by hand: uc⁴/u⁴ of the one line with 1 degree of freedom, rounded down.
    const effective = Math.floor((few.standardDeg / 0.05) ** 4)
    expect(effective).toBe(5)
    expect(few.coverage).toBeCloseTo(2.6487, 3)
    const many = liveBudget({ ...readout, calibration: { ...share, degreesOfFreedom: 200 } })
    expect(many.coverage).toBeLessThan(2.01)
  })

  it('two points: its uncertainty is the gauge’s, and k stays 2', () => {
    const { coverage } = liveBudget({ ...readout, calibration: { ...share, degreesOfFreedom: 0 } })
    expect(coverage).toBeCloseTo(2, 9)
  })

  it('null is no calibration', () => {
    expect(liveBudget({ ...readout, calibration: null })).toEqual(liveBudget(readout))
  })

  it.each(['fitStandardDeg', 'gaugeStandardDeg', 'repeatSdDeg'] as const)(
    'refuses no %s',
    (name) => {
      const calibration = { ...share, [name]: Number.NaN }
      expect(() => releasedBudget({ ...readout, calibration }, 0)).toThrow(
        expect.objectContaining({ code: 'STANDARD_UNCERTAINTY' }),
      )
    },
  )
})
