import type { CueEvent } from '../bend/cycle-event.ts'
import { defineBlock, item, number } from '../chain/block.ts'
import { NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'

/** A run of samples as columns of one length; `quality` 0 good, 1 uncertain, 2 bad. */
export interface LiveRun {
  readonly timeS: number[]
  readonly angleDeg: number[]
  readonly rateDegPerS: number[]
  readonly quality: number[]
  /** The stage at the end of the run. */
  readonly cue: CueEvent['cue']
}

interface Memory {
  cue: CueEvent['cue']
}

/** Hands the samples of a batch to the pages: one message a batch, none when it holds no sample. */
export const liveFeed = defineBlock({
  kind: 'live-feed',
  summary: 'Angle, rate, quality and cue for the pages.',
  parameters: strict({}),
  inputs: {
    angle: number('deg', 'From the datum, smoothed.'),
    rate: number('deg/s', 'Its rate.'),
    cue: item<CueEvent>('cue-event', 'A stage of the cue began.'),
  },
  outputs: {},
  optional: ['cue'],
  outlet: 'live',
  start: (): Memory => ({ cue: 'none' }),
  step(frame, memory, _, rows) {
    const { angle, rate, cue } = frame.in
    const timeS: number[] = []
    const angleDeg: number[] = []
    const rateDegPerS: number[] = []
    const qualities: number[] = []
    for (let row = 0; row < rows; row++) {
      if (cue.count > 0) memory.cue = cue.items[row]?.cue ?? memory.cue
      const quality = Math.max(angle.quality[row] as number, rate.quality[row] as number)
      if (quality === NONE) continue
      timeS.push(angle.timeS[row] as number)
      angleDeg.push(angle.value[row] as number)
      rateDegPerS.push(rate.value[row] as number)
      qualities.push(quality)
    }
    if (timeS.length === 0) return
    const run: LiveRun = { timeS, angleDeg, rateDegPerS, quality: qualities, cue: memory.cue }
    frame.emit(run)
  },
})
