import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'

const counts = (standard: number, description: string) =>
  Type.Integer({ minimum: -(2 ** 31), maximum: 2 ** 31 - 1, default: standard, description })

const parameters = strict({
  zeroCounts: counts(0, 'Counts at no pressure.'),
  fullCounts: counts(1000, 'Counts at full scale.'),
  fullBar: Type.Number({
    exclusiveMinimum: 0,
    maximum: 2000,
    default: 1000,
    description: 'Pressure at full scale, bar.',
  }),
})

/** Counts of a transducer to bar: a line through two points, as its sheet gives it. */
export const pressure = defineBlock({
  kind: 'pressure',
  summary: 'Turns counts of the second channel into bar.',
  parameters,
  inputs: { counts: number('count', 'The second channel.') },
  outputs: { pressure: number('bar', 'Pressure of the ram.') },
  start({ zeroCounts, fullCounts }: Static<typeof parameters>) {
    if (zeroCounts === fullCounts)
      throw new RangeError(`zeroCounts and fullCounts must differ, both are ${zeroCounts}.`)
    return {}
  },
  step(frame, _, { zeroCounts, fullCounts, fullBar }, rows) {
    const { counts: given } = frame.in
    const { pressure: out } = frame.out
    const countBar = fullBar / (fullCounts - zeroCounts)
    for (let row = 0; row < rows; row++) {
      out.value[row] = ((given.value[row] as number) - zeroCounts) * countBar
      out.quality[row] = given.quality[row] as number
    }
  },
})
