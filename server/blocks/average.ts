import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD, UNCERTAIN } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { unitFrom } from '../chain/unit.ts'
import { filteredUnit, trueQuality } from './filter-input.ts'

const parameters = strict({
  unit: filteredUnit,
  shareOfA: Type.Number({
    minimum: 0,
    maximum: 1,
    default: 0.5,
    description: 'Weight of a; b has the rest of 1.',
  }),
})

/**
 * Average of two sensors of one quantity. With both usable its quality is the worse of the two. With one bad
 * or missing the other goes on alone, uncertain at best: a bad value would spoil a good one in the average,
 * and nothing stands beside what is left to check it by. With none usable it is bad.
 */
export const average = defineBlock({
  kind: 'average',
  summary: 'The average of two sensors; goes on with one.',
  parameters,
  inputs: {
    a: number(unitFrom('unit'), 'First sensor.'),
    b: number(unitFrom('unit'), 'Second sensor.'),
  },
  outputs: { value: number(unitFrom('unit'), 'Their average.') },
  start: () => ({}),
  step({ in: { a, b }, out: { value } }, _, { shareOfA }: Static<typeof parameters>, rows) {
    for (let row = 0; row < rows; row++) {
      const first = a.value[row] as number
      const second = b.value[row] as number
      const firstQuality = trueQuality(first, a.quality[row] as number)
      const secondQuality = trueQuality(second, b.quality[row] as number)
      const better = Math.min(firstQuality, secondQuality)
      const worse = Math.max(firstQuality, secondQuality)
      if (worse < BAD) {
        value.value[row] = shareOfA * first + (1 - shareOfA) * second
        value.quality[row] = worse
      } else {
        const alone = firstQuality <= secondQuality ? first : second
        value.value[row] = better < BAD ? alone : 0
        value.quality[row] = Math.max(better, UNCERTAIN)
      }
    }
  },
})
