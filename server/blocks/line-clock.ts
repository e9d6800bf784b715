import { defineBlock, number } from '../chain/block.ts'
import { NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { newLineRhythm, takeArrival } from './line-rhythm.ts'

/**
 * Gives each reading of a sensor without a clock the time at which it was taken. Such a sensor sends at a steady
 * rate and a line can only be late: arrivals by their count lie above a straight line whose slope is the
 * period, and the lower envelope is that line. Bursts of an adapter then show neither as jerks nor in the rate.
 *
 * A lost line is seen by all later ones being late by a period. A sensor whose own period wanders is followed to
 * within a few periods; the first second, and the second after a change of rate, go by arrival.
 */
export const lineClock = defineBlock({
  kind: 'line-clock',
  summary: 'Gives readings without a tick evenly spaced times; bursts do not show.',
  parameters: strict({}),
  inputs: { value: number('1', 'Readings, with the arrival as their time.') },
  outputs: { value: number('1', 'The same at the time at which they were taken.') },
  setsTime: true,
  start: newLineRhythm,
  step(frame, memory, _, rows) {
    const { value } = frame.in
    const { value: out } = frame.out
    for (let row = 0; row < rows; row++) {
      out.value[row] = value.value[row] as number
      out.quality[row] = value.quality[row] as number
      if (value.quality[row] !== NONE) takeArrival(memory, value.timeS[row] as number)
      out.timeS[row] = memory.lastS
    }
  },
})
