import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD, UNCERTAIN } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { unitFrom } from '../chain/unit.ts'
import { filteredUnit, gapParameter, trueQuality } from './filter-input.ts'

const limit = (description: string) =>
  Type.Number({ exclusiveMinimum: 0, maximum: 1_000_000, default: 720, description })

const parameters = strict({
  unit: filteredUnit,
  riseMax: limit('It rises no faster than this, units a second.'),
  fallMax: limit('It falls no faster than this, units a second.'),
  gapS: gapParameter(1),
})

interface Memory {
  started: boolean
  lastS: number
  out: number
}

/**
 * Follows its value no faster than allowed. While it lags behind it is uncertain, since it says something else
 * than the sensor. Bad values are not taken in: what was known stands, marked bad, and time runs on.
 */
export const rateLimiter = defineBlock({
  kind: 'rate-limiter',
  summary: 'Follows a value no faster than allowed.',
  parameters,
  inputs: { value: number(unitFrom('unit'), 'May jump.') },
  outputs: { value: number(unitFrom('unit'), 'Does not.') },
  start: (): Memory => ({ started: false, lastS: 0, out: 0 }),
  step({ in: { value: given }, out: { value: out } }, memory, settings, rows) {
    const { riseMax, fallMax, gapS }: Static<typeof parameters> = settings
    for (let row = 0; row < rows; row++) {
      const value = given.value[row] as number
      let quality = trueQuality(value, given.quality[row] as number)
      if (quality < BAD) {
        const timeS = given.timeS[row] as number
        const stepS = timeS - memory.lastS
        const goesOn = memory.started && stepS >= 0 && stepS <= gapS
        memory.started = true
        memory.lastS = timeS
        memory.out = goesOn
          ? Math.min(memory.out + riseMax * stepS, Math.max(memory.out - fallMax * stepS, value))
          : value
        if (memory.out !== value) quality = Math.max(quality, UNCERTAIN)
      }
      out.value[row] = memory.out
      out.quality[row] = quality
    }
  },
})
