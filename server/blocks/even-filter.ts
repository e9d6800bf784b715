import { Type } from 'typebox'
import type { NumberColumn } from '../chain/column.ts'
import { BAD, UNCERTAIN } from '../chain/column.ts'
import { type Biquad, settleBiquad, stepBiquad } from './biquad.ts'
import { trueQuality } from './filter-input.ts'

/** Steps that a gap may be long and still be filled with a straight line. */
const FILLED_STEPS_MAX = 10
/** A mean step further off than this is another rate than the filter was made for. */
const RATE_TOLERANCE = 0.05
/** Weight of a new step in the mean of the steps. */
const STEP_WEIGHT = 1 / 64

export const rateParameter = Type.Number({
  minimum: 1,
  maximum: 100_000,
  default: 200,
  description: 'Values a second that come in; if others come, what goes out is uncertain.',
})

/** A filter that is right at one rate only, and what it must remember of the times. */
export interface EvenFilter {
  started: boolean
  filter: Biquad
  lastS: number
  lastValue: number
  out: number
  /** Mean of the steps in time, in steps of the rate. */
  meanSteps: number
  /** Until then something uncertain, or made up, has a share in what goes out. */
  doubtUntilS: number
}

export const newEvenFilter = (filter: Biquad): EvenFilter => ({
  started: false,
  filter,
  lastS: 0,
  lastValue: 0,
  out: 0,
  meanSteps: 1,
  doubtUntilS: Number.NEGATIVE_INFINITY,
})

/**
 * Runs rows through. A step of the filter is one of its rate: unevenness within a step is left as it is; a
 * missing value or up to nine are put in on a straight line, and it is uncertain then; after more, or time that
 * goes back, it begins anew at the value. Bad values are not taken in: what was known stands, marked bad.
 * @param forgetsS the time in which a value's share in what goes out falls to about 1 %.
 */
export function filterEvenly(
  given: NumberColumn,
  out: NumberColumn,
  memory: EvenFilter,
  rateHz: number,
  forgetsS: number,
  rows: number,
): void {
  for (let row = 0; row < rows; row++) {
    const value = given.value[row] as number
    const quality = trueQuality(value, given.quality[row] as number)
    let doubt = quality
    if (quality < BAD) {
      const timeS = given.timeS[row] as number
      const made = take(memory, given, row, rateHz)
      if (made || quality > 0) memory.doubtUntilS = timeS + forgetsS
      const fits = Math.abs(memory.meanSteps - 1) <= RATE_TOLERANCE
      doubt = fits && !(timeS < memory.doubtUntilS) ? quality : Math.max(quality, UNCERTAIN)
    }
    out.value[row] = memory.out
    out.quality[row] = doubt
  }
}

/** @returns whether values had to be made up. */
function take(memory: EvenFilter, given: NumberColumn, row: number, rateHz: number): boolean {
  const value = given.value[row] as number
  const timeS = given.timeS[row] as number
  const { filter, lastValue } = memory
  const step = (timeS - memory.lastS) * rateHz
  const steps = Math.max(1, Math.round(step))
  const goesOn = memory.started && step >= 0 && steps <= FILLED_STEPS_MAX
  memory.lastS = timeS
  memory.lastValue = value
  if (!goesOn) {
    memory.started = true
    memory.meanSteps = 1
    memory.doubtUntilS = Number.NEGATIVE_INFINITY
    settleBiquad(filter, value)
    memory.out = value
    return false
  }
  // Of a gap the mean learns its remainder alone: lost lines change no rate.
  memory.meanSteps += STEP_WEIGHT * (step / steps - memory.meanSteps)
  for (let nth = 1; nth < steps; nth++)
    stepBiquad(filter, lastValue + ((value - lastValue) * nth) / steps)
  memory.out = stepBiquad(filter, value)
  return steps > 1
}

/** @throws RangeError for a frequency that the rate cannot show. */
export function demandBelowHalf(name: string, frequencyHz: number, rateHz: number): void {
  if (frequencyHz < rateHz / 2) return
  throw new RangeError(
    `${name} is ${frequencyHz}, and must be below half of rateHz, which is ${rateHz}.`,
  )
}
