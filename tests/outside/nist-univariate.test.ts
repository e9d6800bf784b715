import { describe, expect, it } from 'vitest'
import { autocorrelation } from '../../server/quality/autocorrelation.ts'
import { summaryOf } from '../../server/quality/summary.ts'
import strd from './data/nist-strd-univariate.json' with { type: 'json' }

const alternating = (set: { first: number; pair: number[]; pairs: number }) => [
  set.first,
  ...Array.from({ length: set.pairs }, () => set.pair).flat(),
]

/** Digits a double can keep: what is lost beyond them is lost in reading the decimal numbers. */
const SETS = [
  {
    name: 'PiDigits',
    set: strd.PiDigits,
    values: [...strd.PiDigits.digits].map(Number),
    sd: 13,
    r1: 12,
  },
  { name: 'Lottery', set: strd.Lottery, values: strd.Lottery.values, sd: 13, r1: 13 },
  { name: 'Lew', set: strd.Lew, values: strd.Lew.values, sd: 13, r1: 13 },
  { name: 'Mavro', set: strd.Mavro, values: strd.Mavro.values, sd: 12, r1: 12 },
  { name: 'Michelso', set: strd.Michelso, values: strd.Michelso.values, sd: 13, r1: 12 },
  { name: 'NumAcc1', set: strd.NumAcc1, values: strd.NumAcc1.values, sd: 14, r1: 14 },
  { name: 'NumAcc2', set: strd.NumAcc2, values: alternating(strd.NumAcc2), sd: 14, r1: 13 },
  { name: 'NumAcc3', set: strd.NumAcc3, values: alternating(strd.NumAcc3), sd: 9, r1: 10 },
  { name: 'NumAcc4', set: strd.NumAcc4, values: alternating(strd.NumAcc4), sd: 8, r1: 10 },
]

const digits = (actual: number, certified: number) =>
  -Math.log10(Math.abs(actual / certified - 1) || 1e-16)

describe.each(SETS)(`${strd.source}: $name`, ({ set, values, sd, r1 }) => {
  it('mean', () => expect(digits(summaryOf(values).mean, set.mean)).toBeGreaterThan(14))
  it(`standard deviation to ${sd} digits`, () =>
    expect(digits(summaryOf(values).sd!, set.sd)).toBeGreaterThan(sd))
  it(`lag-1 autocorrelation to ${r1} digits`, () =>
    expect(digits(autocorrelation(values)!, set.r1)).toBeGreaterThan(r1))
})
