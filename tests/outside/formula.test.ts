import fc from 'fast-check'
import { all, create, type MathJsInstance, type Unit } from 'mathjs'
import { describe, expect, test } from 'vitest'
import { makeProgram } from '../../server/blocks/formula-program.ts'
import { dimensionOf, sameDimension } from '../../server/blocks/formula-units.ts'
import { UNITS } from '../../server/chain/unit.ts'

/** mathjs, a general mathematics library, reads the same text: an independent parser, arithmetic and units. Nearly equal is not equal. */
const math = create(all!, { relTol: 1e-14, absTol: 0 }) as MathJsInstance
math.createUnit('tally')
/** There `count` is a function. */
const asThere = (text: string) => text.replaceAll('count', 'tally')

const INPUTS = ['a', 'b', 'c', 'd'] as const

function ours(expression: string, values: readonly number[]): number {
  const { places, steps, result } = makeProgram(expression, ['1', '1', '1', '1'], '1')
  places.set(values)
  for (const step of steps) step()
  return places[result]!
}

/** Degrees are ours where mathjs takes radians; our comparison gives a number. */
const scope = (values: readonly number[]) => ({
  ...Object.fromEntries(INPUTS.map((name, nth) => [name, values[nth]])),
  clamp: (x: number, low: number, high: number) => Math.min(Math.max(x, low), high),
})

const { pure } = fc.letrec<{ pure: string }>((tie) => ({
  pure: fc.oneof(
    { maxDepth: 5, withCrossShrink: true },
    fc.constantFrom('a', 'b', 'c', 'd', '2', '0.5', '3', '1e2'),
    fc
      .tuple(tie('pure'), fc.constantFrom('+', '-', '*', '/', '^'), tie('pure'))
      .map(([x, op, y]) => `${x} ${op} ${y}`),
    tie('pure').map((x) => `(${x})`),
    tie('pure').map((x) => `-${x}`),
    fc
      .tuple(fc.constantFrom('abs', 'sqrt', 'exp', 'log', 'sign', 'round'), tie('pure'))
      .map(([name, x]) => `${name}(${x})`),
    fc
      .tuple(fc.constantFrom('min', 'max', 'pow'), tie('pure'), tie('pure'))
      .map(([name, x, y]) => `${name}(${x}, ${y})`),
    fc
      .tuple(tie('pure'), fc.constantFrom('<', '>'), tie('pure'), tie('pure'), tie('pure'))
      .map(([x, op, y, yes, no]) => `((${x}) ${op} (${y}) ? ${yes} : ${no})`),
    fc
      .tuple(fc.constantFrom('sin', 'cos'), tie('pure'))
      .map(([name, x]) => `${name}((${x}) * deg)`),
  ),
}))

const value = fc.double({ min: -10, max: 10, noNaN: true, noDefaultInfinity: true })
const values = fc.tuple(value, value, value, value)

describe('formula against mathjs', () => {
  test('gives the same values (seed 51)', () => {
    let compared = 0
    fc.assert(
      fc.property(pure, values, (expression, given) => {
        fc.pre(expression.length <= 200)
        let mine: number
        try {
          mine = ours(expression, given)
        } catch (error) {
          expect((error as Error).message).toMatch(/nested deeper/)
          return
        }
        let theirs: unknown
        try {
          theirs = math.evaluate(expression, scope(given))
        } catch (error) {
          expect((error as Error).message).toMatch(/complex|Complex/)
          return
        }
        // Roots of negative numbers are complex there; what is no number here is bad in any case.
        if (typeof theirs !== 'number' || !Number.isFinite(theirs) || !Number.isFinite(mine)) return
        if (Math.abs(theirs) > 1e12) return
        compared++
        expect(Math.abs(mine - theirs)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(theirs)))
      }),
      { seed: 51, numRuns: 3000 },
    )
    expect(compared).toBeGreaterThan(1000)
  })

  test.each([
    ['-a^2', 3],
    ['2^-a', 3],
    ['-2^-a', 3],
    ['2^3^a', 2],
    ['a - 2 - 3', 1],
    ['a / 2 * 3', 7],
    ['a < 3 ? 1 : a < 5 ? 2 : 3', 4],
    ['1 + a > 3 ? 5 : 6', 3],
    ['atan2(a, 2) / deg', 3],
  ])('%s is read as there', (expression, a) => {
    const theirs = math.evaluate(expression.replace(' / deg', ' * 180 / pi'), scope([a, 0, 0, 0]))
    expect(ours(expression, [a, 0, 0, 0])).toBeCloseTo(theirs, 12)
  })
})

/** Exponents of deg, s, bar, count: only bar has mass there, kg/(m·s²), so its share is taken out of the time. */
function dimensionThere(result: unknown) {
  if (typeof result === 'number') return dimensionOf('1')
  const { dimensions } = result as Unit & { dimensions: number[] }
  const [mass = 0, , time = 0] = dimensions
  return [dimensions[7] ?? 0, time + 2 * mass, mass, dimensions[9] ?? 0] as const
}

describe('units against mathjs', () => {
  test.each(UNITS.filter((unit) => unit !== '1'))('%s has the exponents it has there', (unit) => {
    expect(sameDimension(dimensionThere(math.unit(asThere(unit))), dimensionOf(unit))).toBe(true)
  })

  const { any } = fc.letrec<{ any: string }>((tie) => ({
    any: fc.oneof(
      { maxDepth: 4, withCrossShrink: true },
      fc.constantFrom('2*deg', '3*s', '4*bar', '5*count', '2*deg/s', '1.5'),
      fc
        .tuple(tie('any'), fc.constantFrom('+', '-', '*', '/', '*', '/'), tie('any'))
        .map(([x, op, y]) => `(${x}) ${op} (${y})`),
      fc.tuple(tie('any'), fc.constantFrom('2', '0.5', '3')).map(([x, n]) => `(${x})^${n}`),
      tie('any').map((x) => `sqrt(${x})`),
      tie('any').map((x) => `abs(${x})`),
      tie('any').map((x) => `(${x}) * (${x})`),
    ),
  }))

  test('what goes together there goes together here, and gives the same unit (seed 52)', () => {
    let together = 0
    let apart = 0
    fc.assert(
      fc.property(any, (expression) => {
        fc.pre(expression.length <= 200)
        let theirs: unknown = null
        try {
          theirs = math.evaluate(asThere(expression))
        } catch {}
        // Complex roots, and numbers out of reach, have no unit to compare.
        if (theirs !== null && typeof theirs !== 'number' && !math.isUnit(theirs)) return
        const gives = UNITS.filter((unit) => {
          try {
            makeProgram(expression, ['1', '1', '1', '1'], unit)
            return true
          } catch {
            return false
          }
        })
        const expected =
          theirs === null
            ? []
            : UNITS.filter((unit) => sameDimension(dimensionThere(theirs), dimensionOf(unit)))
        if (expected.length > 0) together++
        if (theirs === null) apart++
        expect([expression, gives]).toEqual([expression, expected])
      }),
      { seed: 52, numRuns: 2000 },
    )
    expect(together).toBeGreaterThan(300)
    expect(apart).toBeGreaterThan(100)
  })
})
