import { type Static, Type } from 'typebox'
import { defineBlock, number } from '../chain/block.ts'
import { BAD, GOOD, UNCERTAIN } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'

/** After a longer silence the values before it say nothing: the die may be anywhere. */
const SILENCE_S = 0.25

const parameters = strict({
  rateMaxDegPerS: Type.Number({
    exclusiveMinimum: 0,
    maximum: 100_000,
    default: 720,
    description: 'No die turns faster than this; a value that would have to is held back.',
  }),
  holdMax: Type.Integer({
    minimum: 0,
    maximum: 1000,
    default: 5,
    description: 'Values held back in a row, before the new place is believed.',
  }),
})

interface Memory {
  /** Values taken, up to 2: the median needs three. */
  seen: number
  seenS: number
  older: number
  old: number
  olderQuality: number
  oldQuality: number
  lastDeg: number
  lastS: number
  held: number
}

/**
 * Takes out single spikes: the median of the last three values, and a limit on its rate. The first two values
 * pass as they are, also after a silence. A value beyond the limit is replaced by the last one and marked uncertain, `holdMax` times
 * at the most: then the new place is the true one. Lags one sample; bad values pass it by.
 */
export const spikeGuard = defineBlock({
  kind: 'spike-guard',
  summary: 'Takes out single spikes without rounding edges.',
  parameters,
  inputs: { angle: number('deg', 'With spikes.') },
  outputs: { angle: number('deg', 'Without.') },
  delaySamples: () => 1,
  start: newMemory,
  step(frame, memory, { rateMaxDegPerS, holdMax }: Static<typeof parameters>, rows) {
    const { angle } = frame.in
    const { angle: out } = frame.out
    for (let row = 0; row < rows; row++) {
      const valueDeg = angle.value[row] as number
      const quality = angle.quality[row] as number
      out.value[row] = valueDeg
      out.quality[row] = quality
      if (quality >= BAD) continue
      const worst = Math.max(quality, memory.oldQuality, memory.olderQuality)
      const timeS = angle.timeS[row] as number
      if (!(timeS - memory.seenS <= SILENCE_S)) memory.seen = 0
      memory.seenS = timeS
      const middleDeg = pushMedian(memory, valueDeg, quality)
      const reachDeg = rateMaxDegPerS * (timeS - memory.lastS)
      const jumps = memory.seen > 1 && !(Math.abs(middleDeg - memory.lastDeg) <= reachDeg)
      if (jumps && memory.held < holdMax) {
        memory.held++
        out.value[row] = memory.lastDeg
        out.quality[row] = Math.max(worst, UNCERTAIN)
        continue
      }
      memory.held = 0
      memory.lastDeg = middleDeg
      memory.lastS = timeS
      out.value[row] = middleDeg
      out.quality[row] = worst
    }
  },
})

function newMemory(): Memory {
  return {
    seen: 0,
    seenS: 0,
    older: 0,
    old: 0,
    olderQuality: GOOD,
    oldQuality: GOOD,
    lastDeg: 0,
    lastS: 0,
    held: 0,
  }
}

/** @returns the median of the last three values, or the value itself as long as there are no three. */
function pushMedian(memory: Memory, value: number, quality: number): number {
  const { older, old, seen } = memory
  memory.older = old
  memory.old = value
  memory.olderQuality = memory.oldQuality
  memory.oldQuality = quality
  if (seen < 2) {
    memory.seen++
    return value
  }
  return Math.max(Math.min(older, old), Math.min(Math.max(older, old), value))
}
