import { describe, expect, it } from 'vitest'
import { fitLinear, type LinearFit } from '../../server/quality/linear-fit.ts'
import norris from './data/nist-norris.json' with { type: 'json' }
import strd from './data/nist-strd-linear.json' with { type: 'json' }

/** Decimal digits that agree with a certified value: −log10 of the relative difference. */
const digits = (actual: number, certified: number) =>
  -Math.log10(Math.abs(actual - certified) / Math.abs(certified))

interface Certified {
  readonly name: string
  readonly rows: readonly (readonly number[])[]
  readonly y: readonly number[]
  readonly estimates: readonly number[]
  readonly deviations: readonly number[]
  readonly residualSd: number
  readonly degreesOfFreedom: number
  /** Digits that a double can hold on to: QR in another program reached 12.0, 12.8, 14.7 and 10.9. */
  readonly digits: number
}

const SETS: readonly Certified[] = [
  {
    name: 'Norris',
    rows: norris.x.map((x) => [1, x]),
    y: norris.y,
    estimates: [norris.intercept, norris.slope],
    deviations: [norris.interceptSd, norris.slopeSd],
    residualSd: norris.residualSd,
    degreesOfFreedom: 34,
    digits: 11,
  },
  {
    ...strd.Pontius,
    name: 'Pontius',
    rows: strd.Pontius.x.map((x) => [1, x, x * x]),
    digits: 11,
  },
  { ...strd.NoInt1, name: 'NoInt1', rows: strd.NoInt1.x.map((x) => [x]), digits: 13 },
  { ...strd.Longley, name: 'Longley', rows: strd.Longley.x.map((x) => [1, ...x]), digits: 9 },
]

function fitted({ rows, y }: Pick<Certified, 'rows' | 'y'>): LinearFit {
  const fit = fitLinear(rows, y)
  if (fit === null) throw new Error('It is of full rank.')
  return fit
}

describe.each(SETS)(`${strd.source}: $name`, (set) => {
  const fit = fitted(set)

  it(`estimates to ${set.digits} digits`, () => {
    expect(fit.coefficients).toHaveLength(set.estimates.length)
    for (const [i, certified] of set.estimates.entries())
      expect(digits(fit.coefficients[i]!, certified), `B${i}`).toBeGreaterThan(set.digits)
  })

  it('their standard deviations to as many', () => {
    for (const [i, certified] of set.deviations.entries()) {
      const deviation = fit.residualSd! * Math.sqrt(fit.inverseNormal[i]![i]!)
      expect(digits(deviation, certified), `B${i}`).toBeGreaterThan(set.digits)
    }
  })

  it('residual standard deviation and degrees of freedom', () => {
    expect(digits(fit.residualSd!, set.residualSd)).toBeGreaterThan(set.digits)
    expect(fit.degreesOfFreedom).toBe(set.degreesOfFreedom)
  })

  it('leverages add up to the number of coefficients (hat matrix: trace = rank)', () => {
    const sum = fit.leverages.reduce((total, leverage) => total + leverage, 0)
    expect(sum).toBeCloseTo(set.estimates.length, 8)
  })

  it('is not these values by chance: one y changed in its third digit is seen', () => {
    const other = fitted({ ...set, y: set.y.map((y, i) => (i === 3 ? y * 1.01 : y)) })
    expect(digits(other.residualSd!, set.residualSd)).toBeLessThan(4)
  })
})
