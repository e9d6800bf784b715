import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'
import { unitFrom } from '../chain/unit.ts'
import { notchBiquad } from './biquad.ts'
import { demandBelowHalf, filterEvenly, newEvenFilter, rateParameter } from './even-filter.ts'
import { filteredUnit } from './filter-input.ts'

const parameters = strict({
  unit: filteredUnit,
  centreHz: Type.Number({
    exclusiveMinimum: 0,
    maximum: 50_000,
    default: 50,
    description: 'What is taken out: the mains, or a pump, Hz.',
  }),
  widthHz: Type.Number({
    exclusiveMinimum: 0,
    maximum: 50_000,
    default: 5,
    description: 'Between the two frequencies that keep 71 % of their amplitude (−3 dB), Hz.',
  }),
  rateHz: rateParameter,
})

/**
 * Takes one frequency out and leaves the others: the narrower, the longer it rings after a jump. An uncertain
 * value makes what follows uncertain until its share has fallen to about 1 %.
 */
export const notch = defineBlock({
  kind: 'notch',
  summary: 'Takes out the hum of one frequency.',
  parameters,
  inputs: { value: number(unitFrom('unit'), 'With a hum.') },
  outputs: { value: number(unitFrom('unit'), 'Without.') },
  /** Behind a ramp, from the slope of its phase at frequency 0. */
  delaySamples: ({ centreHz, widthHz, rateHz }: Static<typeof parameters>) =>
    widthHz / centreHz / 2 / Math.tan((Math.PI * centreHz) / rateHz),
  start({ centreHz, widthHz, rateHz }: Static<typeof parameters>) {
    demandBelowHalf('centreHz', centreHz, rateHz)
    return newEvenFilter(notchBiquad(centreHz, widthHz, rateHz))
  },
  step({ in: { value: given }, out: { value } }, memory, { widthHz, rateHz }, rows) {
    // Its poles die away with exp(−π·width·t): to 1.2 % in √2/width.
    filterEvenly(given, value, memory, rateHz, Math.SQRT2 / widthHz, rows)
  },
})
