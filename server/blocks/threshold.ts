import { type Static, Type } from 'typebox'
import { defineBlock, item, number } from '../chain/block.ts'
import { BAD } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { unitFrom } from '../chain/unit.ts'
import { filteredUnit, trueQuality } from './filter-input.ts'

/** A value went over a threshold, or back. */
export interface Crossing {
  readonly on: boolean
  readonly timeS: number
}

const parameters = strict({
  unit: filteredUnit,
  limit: Type.Number({
    minimum: -1e9,
    maximum: 1e9,
    default: 0,
    description: 'On from here.',
  }),
  hysteresis: Type.Number({
    minimum: 0,
    maximum: 1e9,
    default: 0,
    description: 'Off only so far back behind the limit: more than the noise.',
  }),
  onWhen: Type.Union([Type.Literal('above'), Type.Literal('below')], {
    default: 'above',
    description: 'On at the limit and above it, or at the limit and below it.',
  }),
})

/** Off before its first value. Bad values change nothing: what was known stands, marked bad. */
export const threshold = defineBlock({
  kind: 'threshold',
  summary: 'On beyond a limit, off again a little behind it.',
  parameters,
  inputs: { value: number(unitFrom('unit'), 'What is watched.') },
  outputs: {
    on: number('1', 'On: 1, off: 0.'),
    crossing: item<Crossing>('crossing', 'It goes on, or off.'),
  },
  start: () => ({ on: false }),
  step({ in: { value: given }, out: { on, crossing } }, memory, settings, rows) {
    const { limit, hysteresis, onWhen }: Static<typeof parameters> = settings
    const sign = onWhen === 'above' ? 1 : -1
    for (let row = 0; row < rows; row++) {
      const value = given.value[row] as number
      const quality = trueQuality(value, given.quality[row] as number)
      if (quality < BAD) {
        const beyond = sign * (value - limit)
        const now = beyond >= (memory.on ? -hysteresis : 0)
        if (now !== memory.on) {
          memory.on = now
          crossing.items[row] = { on: now, timeS: given.timeS[row] as number }
          crossing.count++
        }
      }
      on.value[row] = Number(memory.on)
      on.quality[row] = quality
    }
  },
})
