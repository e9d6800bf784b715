import { describe, expect, test } from 'vitest'
import {
  budgetOf,
  coverageFactor,
  stepStandard,
  TWO_SIGMA,
} from '../../../../server/quality/uncertainty-budget.ts'

describe('budgetOf', () => {
  test('adds sensitivity times uncertainty as squares, whatever the sign', () => {
    const { standard } = budgetOf([
      { name: 'a', standard: 3, sensitivity: -1 },
      { name: 'b', standard: 2, sensitivity: 2 },
    ])
    expect(standard).toBe(5)
  })

  test('of well-known parts has no end of degrees of freedom, and k = 2', () => {
    const budget = budgetOf([{ name: 'a', standard: 1 }])
    expect(budget.degreesOfFreedom).toBe(Infinity)
    expect(budget.coverage).toBeCloseTo(2, 9)
    expect(budget.expanded).toBe(budget.coverage * budget.standard)
  })

  test('equal parts of 4 degrees of freedom each: 8 together', () => {
    const part = { standard: 0.3, degreesOfFreedom: 4 }
    const { degreesOfFreedom } = budgetOf([
      { ...part, name: 'a' },
      { ...part, name: 'b' },
    ])
    expect(degreesOfFreedom).toBeCloseTo(8, 12)
  })

  test('a part of no size spends no degrees of freedom', () => {
    const parts = [
      { name: 'a', standard: 0, degreesOfFreedom: 1 },
      { name: 'b', standard: 1, degreesOfFreedom: 1, sensitivity: 0 },
      { name: 'c', standard: 1, degreesOfFreedom: 9 },
    ]
    expect(budgetOf(parts).degreesOfFreedom).toBeCloseTo(9, 12)
  })

  test('of nothing at all is nothing, never NaN', () => {
    for (const parts of [[], [{ name: 'a', standard: 0, degreesOfFreedom: 2 }]])
      expect(budgetOf(parts)).toMatchObject({
        standard: 0,
        expanded: 0,
        degreesOfFreedom: Infinity,
      })
  })

  test('a very small part does not underflow into certainty', () => {
    const { degreesOfFreedom } = budgetOf([{ name: 'a', standard: 1e-90, degreesOfFreedom: 3 }])
    expect(degreesOfFreedom).toBeCloseTo(3, 12)
  })

  test.each([
    ['below 0', { standard: -1 }],
    ['no number', { standard: Number.NaN }],
    ['without end', { standard: Infinity }],
    ['with no sensitivity', { standard: 1, sensitivity: Number.NaN }],
    ['with no degree of freedom', { standard: 1, degreesOfFreedom: 0 }],
    ['with NaN degrees of freedom', { standard: 1, degreesOfFreedom: Number.NaN }],
  ])('refuses a part %s, by name', (_, part) => {
    expect(() => budgetOf([{ name: 'the gauge', ...part }])).toThrow(/the gauge/)
  })
})

test('a wider interval takes a larger factor', () => {
  expect(coverageFactor(5, 0.99)).toBeGreaterThan(coverageFactor(5, TWO_SIGMA))
  expect(coverageFactor(5)).toBe(coverageFactor(5, TWO_SIGMA))
})

test('a step is a rectangle: a/√12', () => {
  expect(stepStandard(12)).toBeCloseTo(Math.sqrt(12), 12)
})
