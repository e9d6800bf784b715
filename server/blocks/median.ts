import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD, GOOD } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { unitFrom } from '../chain/unit.ts'
import { filteredUnit, gapParameter, trueQuality } from './filter-input.ts'

const parameters = strict({
  unit: filteredUnit,
  window: Type.Integer({
    minimum: 3,
    maximum: 101,
    default: 5,
    description: 'Values looked at, an odd number; spikes up to half of it vanish.',
  }),
  gapS: gapParameter(1),
})

interface Memory {
  started: boolean
  lastS: number
  out: number
  /** The last values in the order in which they came, and their qualities; `next` is the oldest. */
  values: number[]
  qualities: number[]
  next: number
  /** The same values in the order of their size. */
  sorted: number[]
}

/**
 * Running median. It begins as if its first value had always been there, and so after a silence. Bad values
 * are not taken in: what was known stands, marked bad. Its quality is the worst of the values in the window.
 */
export const median = defineBlock({
  kind: 'median',
  summary: 'The middle one of the last values: takes out spikes, keeps edges.',
  parameters,
  inputs: { value: number(unitFrom('unit'), 'With spikes.') },
  outputs: { value: number(unitFrom('unit'), 'Without.') },
  delaySamples: ({ window }: Static<typeof parameters>) => (window - 1) / 2,
  start({ window }: Static<typeof parameters>): Memory {
    if (window % 2 === 0)
      throw new RangeError(`window is ${window}, and must be odd: an even one has no middle.`)
    const zeros = () => new Array<number>(window).fill(0)
    return {
      started: false,
      lastS: 0,
      out: 0,
      values: zeros(),
      qualities: zeros(),
      next: 0,
      sorted: zeros(),
    }
  },
  step({ in: { value: given }, out: { value: out } }, memory, { window, gapS }, rows) {
    for (let row = 0; row < rows; row++) {
      const value = given.value[row] as number
      const quality = trueQuality(value, given.quality[row] as number)
      let worst = quality
      if (quality < BAD) {
        const timeS = given.timeS[row] as number
        const stepS = timeS - memory.lastS
        if (!(memory.started && stepS >= 0 && stepS <= gapS)) begin(memory, value)
        memory.lastS = timeS
        put(memory, value, quality)
        memory.out = memory.sorted[(window - 1) / 2] as number
        for (let place = 0; place < window; place++)
          worst = Math.max(worst, memory.qualities[place] as number)
      }
      out.value[row] = memory.out
      out.quality[row] = worst
    }
  },
})

function begin(memory: Memory, value: number): void {
  memory.started = true
  memory.values.fill(value)
  memory.sorted.fill(value)
  memory.qualities.fill(GOOD)
}

/** In place of the oldest; the order of size is mended by moving only what lies between the two. */
function put(memory: Memory, value: number, quality: number): void {
  const { values, qualities, sorted, next } = memory
  let place = sorted.indexOf(values[next] as number)
  while (place + 1 < sorted.length && (sorted[place + 1] as number) < value) {
    sorted[place] = sorted[place + 1] as number
    place++
  }
  while (place > 0 && (sorted[place - 1] as number) > value) {
    sorted[place] = sorted[place - 1] as number
    place--
  }
  sorted[place] = value
  values[next] = value
  qualities[next] = quality
  memory.next = (next + 1) % values.length
}
