import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { NONE, UNCERTAIN } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'

const parameters = strict({
  initialDeg: Type.Number({ default: 0, description: 'What comes out before the first value.' }),
})

interface Memory {
  valueDeg: number
  quality: number
  timeS: number
}

/**
 * The last value before this row: what a loop must pass through, so that no value waits for itself. Until a
 * first value came it gives the initial one, uncertain (IEC 61131-3: feedback must be initialised).
 */
export const delay = defineBlock({
  kind: 'delay',
  summary: 'The last value before this one; makes a loop possible.',
  parameters,
  inputs: { angle: number('deg', 'Value of this row.') },
  outputs: { angle: number('deg', 'The last value before this row.') },
  setsTime: true,
  delays: true,
  delaySamples: () => 1,
  start: ({ initialDeg }: Static<typeof parameters>): Memory => ({
    valueDeg: initialDeg,
    quality: UNCERTAIN,
    timeS: 0,
  }),
  step({ out: { angle } }, memory) {
    angle.value[0] = memory.valueDeg
    angle.quality[0] = memory.quality
    angle.timeS[0] = memory.timeS
  },
  latch({ in: { angle } }, memory) {
    if (angle.quality[0] === NONE) return
    memory.valueDeg = angle.value[0] as number
    memory.quality = angle.quality[0] as number
    memory.timeS = angle.timeS[0] as number
  },
})
