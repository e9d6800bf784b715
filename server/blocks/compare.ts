import { type Static, Type } from 'typebox'
import { defineBlock, item, number } from '../chain/block.ts'
import { BAD, GOOD, UNCERTAIN } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { unitFrom } from '../chain/unit.ts'
import { filteredUnit, gapParameter, trueQuality } from './filter-input.ts'

/** Two sensors begin to disagree, or agree again. */
export interface Agreement {
  readonly agree: boolean
  readonly timeS: number
  /** a − b, in the unit of the sensors. */
  readonly difference: number
}

const parameters = strict({
  unit: filteredUnit,
  tolerance: Type.Number({
    minimum: 0,
    maximum: 1e9,
    default: 1,
    description: 'Largest difference that still counts as agreeing.',
  }),
  lastsS: Type.Number({
    minimum: 0,
    maximum: 3600,
    default: 0.5,
    description: 'So long they must disagree before it is said, or agree again, seconds.',
  }),
  lowersTo: Type.Union([Type.Literal('uncertain'), Type.Literal('bad')], {
    default: 'bad',
    description: 'Quality of the value while they disagree: nobody knows which one is wrong.',
  }),
  gapS: gapParameter(1),
})

interface Memory {
  agree: boolean
  lastS: number
  /** Since when it is the other way than `agree` says; null while it is not. */
  changeS: number | null
}

/**
 * Two sensors of one quantity side by side. The first goes on, at the worse of both qualities, and lowered
 * while they disagree; without a usable second nothing checks it, so it is uncertain. A row without the first
 * has no value. Over a silence nothing is known to have lasted: the time to last begins anew.
 */
export const compare = defineBlock({
  kind: 'compare',
  summary: 'Tells when two sensors disagree, and marks the value then.',
  parameters,
  inputs: {
    a: number(unitFrom('unit'), 'The sensor that is used.'),
    b: number(unitFrom('unit'), 'The sensor that checks it.'),
  },
  outputs: {
    value: number(unitFrom('unit'), 'The first sensor, marked while they disagree.'),
    difference: number(unitFrom('unit'), 'First less second.'),
    agreement: item<Agreement>('agreement', 'They begin to disagree, or agree again.'),
  },
  start: (): Memory => ({ agree: true, lastS: 0, changeS: null }),
  step({ in: { a, b }, out }, memory, settings: Static<typeof parameters>, rows) {
    const { value, difference, agreement } = out
    const lowered = settings.lowersTo === 'bad' ? BAD : UNCERTAIN
    for (let row = 0; row < rows; row++) {
      const first = a.value[row] as number
      const second = b.value[row] as number
      const firstQuality = trueQuality(first, a.quality[row] as number)
      const secondQuality = trueQuality(second, b.quality[row] as number)
      const worse = Math.max(firstQuality, secondQuality)
      const timeS = a.timeS[row] as number
      const isUsable = worse < BAD
      difference.value[row] = isUsable ? first - second : 0
      difference.quality[row] = worse
      if (isUsable && changes(memory, Math.abs(first - second), timeS, settings)) {
        agreement.items[row] = { agree: memory.agree, timeS, difference: first - second }
        agreement.count++
      }
      const checked = secondQuality < BAD ? worse : Math.max(firstQuality, UNCERTAIN)
      value.value[row] = firstQuality < BAD ? first : 0
      value.quality[row] = Math.max(checked, memory.agree ? GOOD : lowered)
    }
  },
})

/** @returns whether they begin to disagree, or agree again, with this difference. */
function changes(
  memory: Memory,
  apart: number,
  timeS: number,
  { tolerance, lastsS, gapS }: Static<typeof parameters>,
): boolean {
  const stepS = timeS - memory.lastS
  memory.lastS = timeS
  if (!(stepS >= 0 && stepS <= gapS)) memory.changeS = null
  if (apart <= tolerance === memory.agree) {
    memory.changeS = null
    return false
  }
  memory.changeS ??= timeS
  if (timeS - memory.changeS < lastsS) return false
  memory.agree = !memory.agree
  memory.changeS = null
  return true
}
