import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  EIGHT_RULES_1984,
  FOUR_RULES_1956,
  ISO_7870_2,
  type RunRule,
  runFindings,
} from '../../../../server/quality/run-rules.ts'

/** Whether a window of points, as many as the rule looks at, is its pattern: each rule as its words say. */
function isPattern(rule: RunRule, points: readonly number[]): boolean {
  const steps = points.slice(1).map((point, i) => Math.sign(point - (points[i] ?? point)))
  const all = (signs: readonly number[], sign: number) => signs.every((own) => own === sign)
  const allAlike = (signs: readonly number[]) => all(signs, 1) || all(signs, -1)
  switch (rule.name) {
    case 'beyond':
      return points.every((point) => Math.abs(point) > rule.sigmas)
    case 'side':
      return allAlike(points.map(Math.sign))
    case 'trend':
      return allAlike(steps)
    case 'alternating':
      return allAlike(steps.map((step, i) => (i % 2 === 0 ? step : -step)))
    case 'zone':
      return [1, -1].some(
        (side) => points.filter((point) => side * point > rule.sigmas).length >= rule.least,
      )
    case 'within':
      return points.every((point) => Math.abs(point) < rule.sigmas)
    case 'outside':
      return points.every((point) => Math.abs(point) > rule.sigmas)
  }
}

function windowPlaces(rule: RunRule, points: readonly number[]): number[] {
  const length = 'length' in rule ? rule.length : 1
  const places: number[] = []
  for (let end = length; end <= points.length; end += 1)
    if (isPattern(rule, points.slice(end - length, end))) places.push(end - 1)
  return places
}

const RULES = [...ISO_7870_2, ...FOUR_RULES_1956, ...EIGHT_RULES_1984]
/** Few different values, so that equal neighbours, points on an edge and long rows come up. */
const points = fc
  .array(fc.integer({ min: -8, max: 8 }), { maxLength: 60, size: 'max' })
  .map((list) => list.map((value) => value / 2))
/** Mostly steps of one sign, up to any height. */
const rising = fc
  .array(fc.constantFrom(0.25, 0.25, 0.25, 0.25, 0.25, 0.25, 0.25, -1), {
    maxLength: 60,
    size: 'max',
  })
  .map((steps) => steps.map((_, i) => steps.slice(0, i + 1).reduce((sum, step) => sum + step, -3)))
/** Mostly up and down by turns. */
const turning = fc
  .array(fc.constantFrom(1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 2.5, -1.5), { maxLength: 60, size: 'max' })
  .map((sizes) => sizes.map((size, i) => (i % 2 === 0 ? size : -size)))
/** Mostly near the centre. */
const calm = fc.array(fc.constantFrom(-0.5, 0, 0.25, -0.25, 0.5, 0.75, -0.75, 0.9, 0.8, 1), {
  ...{ maxLength: 60, size: 'max' },
})
const runs = fc.oneof(points, rising, turning, calm)

describe('run rules counted along the run', () => {
  it('find what a look at each window finds, in lists and in columns', () => {
    fc.assert(
      fc.property(runs, fc.constantFrom(...RULES), (run, rule) => {
        const expected = windowPlaces(rule, run)
        const found = (values: ArrayLike<number>) => runFindings(values, 0, 1, [rule])[0]?.places
        expect(found(run) ?? []).toEqual(expected)
        expect(found(Float64Array.from(run)) ?? []).toEqual(expected)
      }),
      { numRuns: 2000 },
    )
  })

  it.each(RULES)('%j is broken by some of such runs', (rule) => {
    const some = fc.sample(runs, { numRuns: 1000, seed: 1 })
    expect(some.some((run) => windowPlaces(rule, run).length > 0)).toBe(true)
  })

  it('carry on where a long run is gone through in stretches', () => {
    const border = 1 << 17
    const near = 40
    fc.assert(
      fc.property(runs, fc.nat(20), fc.constantFrom(...RULES), (run, shift, rule) => {
        const values = new Float64Array(border + near)
        values.set(run.slice(0, near + shift), border - shift)
        const around = Array.from(values.subarray(border - near))
        const found = runFindings(values, 0, 1, [rule])[0]?.places ?? []
        // All before is 0, a value that only "within" counts.
        expect(found.filter((place) => place >= border - shift)).toEqual(
          windowPlaces(rule, around)
            .map((place) => place + border - near)
            .filter((place) => place >= border - shift),
        )
      }),
      { numRuns: 60 },
    )
  })

  it('need a centre and a sigma', () => {
    expect(() => runFindings([1], Number.NaN, 1)).toThrow('run rules need')
    expect(() => runFindings([1], 0, -1)).toThrow('run rules need')
  })
})
