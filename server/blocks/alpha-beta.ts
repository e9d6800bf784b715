import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD, type NumberColumn } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { rateUnitFrom, UNITS_WITH_RATE, unitFrom, unitParameter } from '../chain/unit.ts'
import { gapParameter, STEP_MIN_S, trueQuality } from './filter-input.ts'
import { alphaOf, betaOf, stepTrack, type Track } from './tracking-gains.ts'

const parameters = strict({
  unit: unitParameter(UNITS_WITH_RATE, 'deg', 'Unit of the value.'),
  trackingIndex: Type.Number({
    minimum: 0.0001,
    maximum: 1000,
    default: 0.1,
    description: 'Acceleration × step² over noise: lower smooths more, higher follows faster.',
  }),
  rateHz: Type.Number({
    minimum: 1,
    maximum: 100_000,
    default: 200,
    description: 'Values a second that the tracking index is meant for.',
  }),
  gapS: gapParameter(1),
})

interface Memory {
  started: boolean
  lastS: number
  track: Track
}

/**
 * Smooths a value and gives its rate with the steady gains of Kalata's tracking index. The index goes with the
 * square of the step in time, so each value gets the gains of its own step. It lags by nothing at a steady
 * rate and overshoots at a sudden stop: never for the peak. Bad values are not taken in.
 */
export const alphaBeta = defineBlock({
  kind: 'alpha-beta',
  summary: 'Smooths any value and gives its rate, by one figure.',
  parameters,
  inputs: { value: number(unitFrom('unit'), 'With noise.') },
  outputs: {
    value: number(unitFrom('unit'), 'Smoothed.'),
    rate: number(rateUnitFrom('unit'), 'Its rate, a second.'),
  },
  delaySamples: () => 0,
  start: (): Memory => ({ started: false, lastS: 0, track: { rate: 0, value: 0 } }),
  step({ in: { value: given }, out: { value, rate } }, memory, settings, rows) {
    for (let row = 0; row < rows; row++) {
      const quality = trueQuality(given.value[row] as number, given.quality[row] as number)
      if (quality < BAD) take(memory, given, row, settings)
      value.value[row] = memory.track.value
      rate.value[row] = memory.track.rate
      value.quality[row] = quality
      rate.quality[row] = quality
    }
  },
})

function take(
  memory: Memory,
  given: NumberColumn,
  row: number,
  { trackingIndex, rateHz, gapS }: Static<typeof parameters>,
): void {
  const { track } = memory
  const reading = given.value[row] as number
  const timeS = given.timeS[row] as number
  const stepS = timeS - memory.lastS
  memory.lastS = timeS
  if (!(memory.started && stepS >= 0 && stepS <= gapS)) {
    memory.started = true
    track.value = reading
    track.rate = 0
  } else if (stepS > STEP_MIN_S) {
    const alpha = alphaOf(trackingIndex * (stepS * rateHz) ** 2)
    stepTrack(track, reading, stepS, alpha, betaOf(alpha))
  }
}
