import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD, UNCERTAIN } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { unitFrom } from '../chain/unit.ts'
import { filteredUnit, gapParameter, trueQuality } from './filter-input.ts'

const parameters = strict({
  unit: filteredUnit,
  backAfterS: Type.Number({
    minimum: 0,
    maximum: 3600,
    default: 2,
    description: 'So long the first must be usable again before it is used again, seconds.',
  }),
  gapS: gapParameter(1),
})

interface Memory {
  onSecond: boolean
  lastS: number
  /** Since when the first is usable while the second is used; null while it is not. */
  usableS: number | null
}

/**
 * The first of two sensors as long as it is usable, that is not bad. Where it is bad, or says nothing in a row
 * in which the second is usable, the second goes on at once, uncertain at best, since the readout is another
 * one and may stand elsewhere. Back only after a while, so that a loose wire does not make it jump; at once
 * where the second fails too.
 */
export const switchOver = defineBlock({
  kind: 'switch-over',
  summary: 'Goes on with the second sensor when the first is bad.',
  parameters,
  inputs: {
    first: number(unitFrom('unit'), 'Used as long as it is usable.'),
    second: number(unitFrom('unit'), 'Used otherwise.'),
  },
  outputs: {
    value: number(unitFrom('unit'), 'The one in use.'),
    onSecond: number('1', 'Second in use: 1, first: 0.'),
  },
  start: (): Memory => ({ onSecond: false, lastS: 0, usableS: null }),
  step({ in: { first, second }, out }, memory, settings: Static<typeof parameters>, rows) {
    const { value, onSecond } = out
    for (let row = 0; row < rows; row++) {
      const firstQuality = trueQuality(first.value[row] as number, first.quality[row] as number)
      const secondQuality = trueQuality(second.value[row] as number, second.quality[row] as number)
      choose(memory, firstQuality, secondQuality, first.timeS[row] as number, settings)
      const chosen = memory.onSecond ? second : first
      const quality = memory.onSecond ? Math.max(secondQuality, UNCERTAIN) : firstQuality
      value.value[row] = quality < BAD ? (chosen.value[row] as number) : 0
      value.quality[row] = quality
      onSecond.value[row] = Number(memory.onSecond)
      onSecond.quality[row] = quality
    }
  },
})

function choose(
  memory: Memory,
  firstQuality: number,
  secondQuality: number,
  timeS: number,
  { backAfterS, gapS }: Static<typeof parameters>,
): void {
  const stepS = timeS - memory.lastS
  memory.lastS = timeS
  if (!(stepS >= 0 && stepS <= gapS) || firstQuality >= BAD) memory.usableS = null
  // With neither usable the one in use stays: there is nothing to go over to.
  if (firstQuality >= BAD) {
    if (secondQuality < BAD) memory.onSecond = true
    return
  }
  memory.usableS ??= timeS
  if (secondQuality >= BAD || timeS - memory.usableS >= backAfterS) memory.onSecond = false
}
