import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'

const parameters = strict({
  closedWhen: Type.Union([Type.Literal('zero'), Type.Literal('not-zero')], {
    default: 'not-zero',
    description: 'Counts of a closed switch.',
  }),
  bounceS: Type.Number({
    minimum: 0,
    maximum: 1,
    default: 0.02,
    description: 'After an edge contacts bounce for so long, seconds; meanwhile nothing changes.',
  }),
})

interface Memory {
  closed: number
  /** null before the first edge. */
  edgeS: number | null
}

/**
 * A switch on the second channel. An edge counts at once, so that it stands at its own angle; what follows it
 * within the time of bouncing does not.
 */
export const switchInput = defineBlock({
  kind: 'switch',
  summary: 'Reads a switch on the second channel, without its bouncing.',
  parameters,
  inputs: { counts: number('count', 'The second channel.') },
  outputs: { closed: number('1', 'Closed: 1, open: 0.') },
  start: (): Memory => ({ closed: 0, edgeS: null }),
  step(frame, memory, { closedWhen, bounceS }: Static<typeof parameters>, rows) {
    const { counts } = frame.in
    const { closed } = frame.out
    for (let row = 0; row < rows; row++) {
      const quality = counts.quality[row] as number
      if (quality < BAD) {
        const now = Number((counts.value[row] === 0) === (closedWhen === 'zero'))
        const timeS = counts.timeS[row] as number
        const bounces = memory.edgeS !== null && timeS - memory.edgeS < bounceS
        if (now !== memory.closed && !bounces) {
          memory.closed = now
          memory.edgeS = timeS
        }
      }
      closed.value[row] = memory.closed
      closed.quality[row] = quality
    }
  },
})
