import { describe, expect, it } from 'vitest'
import {
  budgetOf,
  type Component,
  coverageFactor,
  stepStandard,
} from '../../server/quality/uncertainty-budget.ts'

/** Rounded to as many decimals as a table prints. */
const rounded = (value: number, decimals: number) => Number(value.toFixed(decimals))

describe('JCGM 100:2008 (GUM), annex H.1, calibration of an end gauge, in nm', () => {
  /** H.1.3.2: the measured difference. */
  const difference: readonly Component[] = [
    { name: 'repeated observations', standard: 13 / Math.sqrt(5), degreesOfFreedom: 24 },
    { name: 'comparator, random', standard: 10 / 2.570582, degreesOfFreedom: 5 },
    { name: 'comparator, systematic', standard: 20 / 3, degreesOfFreedom: 8 },
  ]
  const lengthNm = 50.000623e6
  const budget = budgetOf(
    [
      { name: 'standard', standard: 75 / 3, degreesOfFreedom: 18 },
      ...difference,
      {
        name: 'difference of expansion',
        standard: 1e-6 / Math.sqrt(3),
        sensitivity: lengthNm * 0.1,
        degreesOfFreedom: 50,
      },
      {
        name: 'difference of temperature',
        standard: 0.05 / Math.sqrt(3),
        sensitivity: -lengthNm * 11.5e-6,
        degreesOfFreedom: 2,
      },
    ],
    0.99,
  )

  it('u(d) = 9.7 nm with 25.6 degrees of freedom', () => {
    const { standard, degreesOfFreedom } = budgetOf(difference)
    expect(rounded(standard, 1)).toBe(9.7)
    expect(rounded(degreesOfFreedom, 1)).toBe(25.6)
  })

  it('uc = 32 nm, uc² = 1002 nm²', () => {
    expect(rounded(budget.standard, 0)).toBe(32)
    expect(rounded(budget.standard ** 2, 0)).toBe(1002)
  })

  it('16.7 effective degrees of freedom, t99(16) = 2.92, U99 = 93 nm', () => {
    expect(rounded(budget.degreesOfFreedom, 1)).toBe(16.7)
    expect(rounded(budget.coverage, 2)).toBe(2.92)
    // The guide multiplies the rounded 32 nm; unrounded it is 92.5.
    expect(rounded(budget.coverage * 32, 0)).toBe(93)
    expect(budget.expanded).toBeCloseTo(92.466572, 3)
  })
})

describe('Student t, JCGM 100:2008 table G.2, two columns to four decimals', () => {
  it.each([
    [1, 13.9678, 235.7837],
    [2, 4.5266, 19.206],
    [5, 2.6487, 5.507],
    [10, 2.2837, 3.9569],
    [16, 2.1689, 3.5441],
    [20, 2.133, 3.4221],
    [50, 2.0513, 3.1571],
  ])('%d degrees of freedom', (degreesOfFreedom, t9545, t9973) => {
    expect(coverageFactor(degreesOfFreedom, 0.9545)).toBeCloseTo(t9545, 4)
    expect(coverageFactor(degreesOfFreedom, 0.9973)).toBeCloseTo(t9973, 4)
  })

  it('six decimals of printed tables of the 0.975 quantile', () => {
    const table = {
      1: 12.706205,
      2: 4.302653,
      4: 2.776445,
      8: 2.306004,
      30: 2.042272,
      120: 1.97993,
    }
    for (const [degreesOfFreedom, quantile] of Object.entries(table))
      expect(coverageFactor(Number(degreesOfFreedom), 0.95)).toBeCloseTo(quantile, 6)
  })

  it('degrees of freedom are rounded down (G.4.1), and without end it is the normal 1.96', () => {
    expect(coverageFactor(16.99, 0.99)).toBe(coverageFactor(16, 0.99))
    expect(coverageFactor(Infinity, 0.95)).toBeCloseTo(1.959964, 6)
  })
})

describe('an angle readout of 12 bit, each line computed apart from this program', () => {
  const LINES: readonly (Component & { readonly expectedDeg: number })[] = [
    { name: 'readout step', standard: stepStandard(360 / 4096), expectedDeg: 0.025371838 },
    {
      name: 'mean of five, s = 0.06',
      standard: 0.06 / Math.sqrt(5),
      degreesOfFreedom: 4,
      expectedDeg: 0.026832816,
    },
    { name: 'protractor', standard: 0.1 / Math.sqrt(3), expectedDeg: 0.057735027 },
    { name: 'its display', standard: stepStandard(0.1), expectedDeg: 0.028867513 },
    {
      name: 'interpolation',
      standard: 0.15 / Math.sqrt(3),
      degreesOfFreedom: 50,
      expectedDeg: 0.08660254,
    },
    { name: 'eccentricity left', standard: 0.1 / Math.SQRT2, expectedDeg: 0.070710678 },
    { name: 'play', standard: 0.1 / Math.sqrt(3), degreesOfFreedom: 50, expectedDeg: 0.057735027 },
  ]

  it.each(LINES)('$name', ({ standard, expectedDeg }) => {
    expect(standard).toBeCloseTo(expectedDeg, 9)
  })

  it('combined 0.146163368°, 309 degrees of freedom, U = 0.293514° at 95.45 %', () => {
    const budget = budgetOf(LINES, 0.9545)
    expect(budget.standard).toBeCloseTo(0.146163368, 9)
    expect(budget.degreesOfFreedom).toBeCloseTo(309.048, 3)
    expect(budget.coverage).toBeCloseTo(2.008125, 6)
    expect(budget.expanded).toBeCloseTo(0.293514, 6)
  })
})
