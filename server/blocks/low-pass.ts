import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'
import { unitFrom } from '../chain/unit.ts'
import { lowPassBiquad } from './biquad.ts'
import { demandBelowHalf, filterEvenly, newEvenFilter, rateParameter } from './even-filter.ts'
import { filteredUnit } from './filter-input.ts'

const parameters = strict({
  unit: filteredUnit,
  cutoffHz: Type.Number({
    exclusiveMinimum: 0,
    maximum: 50_000,
    default: 10,
    description: 'Where 71 % of the amplitude is left (−3 dB); slower passes, faster does not, Hz.',
  }),
  rateHz: rateParameter,
})

/**
 * Second-order Butterworth low-pass. It under-reads a short peak and lags a ramp, as every low-pass does: for
 * a display or a slow quantity, never for the peak of a bend. What is put into it at 1 % or more of its share
 * counts: an uncertain value makes what follows uncertain for one period of the cut-off.
 */
export const lowPass = defineBlock({
  kind: 'low-pass',
  summary: 'Lets what is slow through and holds back what is fast.',
  parameters,
  inputs: { value: number(unitFrom('unit'), 'With fast noise.') },
  outputs: { value: number(unitFrom('unit'), 'Without.') },
  /** Behind a ramp, from the slope of its phase at frequency 0. */
  delaySamples: ({ cutoffHz, rateHz }: Static<typeof parameters>) =>
    Math.SQRT1_2 / Math.tan((Math.PI * cutoffHz) / rateHz),
  start({ cutoffHz, rateHz }: Static<typeof parameters>) {
    demandBelowHalf('cutoffHz', cutoffHz, rateHz)
    return newEvenFilter(lowPassBiquad(cutoffHz, rateHz))
  },
  step({ in: { value: given }, out: { value } }, memory, { cutoffHz, rateHz }, rows) {
    // Its poles die away with exp(−√2·π·f·t): to 1.2 % in one period.
    filterEvenly(given, value, memory, rateHz, 1 / cutoffHz, rows)
  },
})
