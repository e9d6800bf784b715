import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD, GOOD, NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { trueQuality } from './filter-input.ts'

const parameters = strict({
  preset: Type.Integer({
    minimum: 1,
    maximum: 2 ** 31 - 1,
    default: 1,
    description: 'Count from which `reached` is on.',
  }),
})

interface Memory {
  given: boolean
  count: number
}

/**
 * Counts how often its input goes on, as the up-counter of IEC 61131-3 does: reset wins, and before its first
 * value the input counts as off. Bad values, of the input or the reset, change nothing and mark the count bad;
 * an edge over a bad stretch or a silence counts once.
 */
export const counter = defineBlock({
  kind: 'counter',
  summary: 'Counts how often something goes on.',
  parameters,
  inputs: {
    on: number('1', 'On: not 0.'),
    reset: number('1', 'Not 0: back to 0, and stays there.'),
  },
  outputs: {
    count: number('count', 'How often.'),
    reached: number('1', 'The preset is reached: 1, else 0.'),
  },
  optional: ['reset'],
  start: (): Memory => ({ given: false, count: 0 }),
  step({ in: { on, reset }, out: { count, reached } }, memory, settings, rows) {
    const { preset }: Static<typeof parameters> = settings
    for (let row = 0; row < rows; row++) {
      const quality = trueQuality(on.value[row] as number, on.quality[row] as number)
      const resetQuality = trueQuality(reset.value[row] as number, reset.quality[row] as number)
      const given = quality < BAD ? on.value[row] !== 0 : memory.given
      if (resetQuality < BAD && reset.value[row] !== 0) memory.count = 0
      else if (given && !memory.given && memory.count < Number.MAX_SAFE_INTEGER) memory.count++
      memory.given = given
      const worst = Math.max(quality, resetQuality === NONE ? GOOD : resetQuality)
      count.value[row] = memory.count
      reached.value[row] = Number(memory.count >= preset)
      count.quality[row] = worst
      reached.quality[row] = worst
    }
  },
})
