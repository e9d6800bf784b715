import type { CueEvent } from '../bend/cycle-event.ts'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
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

const inputs = {
  angle: number('deg', 'From the datum, smoothed.'),
  rate: number('deg/s', 'Its rate.'),
  cue: item<CueEvent>('cue-event', 'A stage of the cue began.'),
}
const outputs = {}

interface Memory {
  cue: CueEvent['cue']
}

/** Hands the samples of a batch to the pages: one message a batch, none when it holds no sample. */
export const liveFeed = defineBlock({
  kind: 'live-feed',
  summary: 'Angle, rate, quality and cue for the pages.',
  parameters: strict({}),
  inputs,
  outputs,
  optional: ['cue'],
  outlet: 'live',
  start: (): Memory => ({ cue: 'none' }),
  step(frame, memory, _, rows) {
    const { angle, rate, cue } = frame.in
    for (let row = 0; row < rows && cue.count > 0; row++)
      memory.cue = cue.items[row]?.cue ?? memory.cue
    const shown = countShown(frame, rows)
    if (shown === 0) return
    const run = newRun(shown, memory.cue)
    for (let row = 0, nth = 0; row < rows; row++) {
      const quality = qualityAt(frame, row)
      if (quality === NONE) continue
      run.timeS[nth] = angle.timeS[row] as number
      run.angleDeg[nth] = angle.value[row] as number
      run.rateDegPerS[nth] = rate.value[row] as number
      run.quality[nth] = quality
      nth++
    }
    frame.emit(run)
  },
})

type FeedFrame = Frame<typeof inputs, typeof outputs>

const qualityAt = ({ in: { angle, rate } }: FeedFrame, row: number) =>
  Math.max(angle.quality[row] as number, rate.quality[row] as number)

function countShown(frame: FeedFrame, rows: number): number {
  let count = 0
  for (let row = 0; row < rows; row++) if (qualityAt(frame, row) !== NONE) count++
  return count
}

/** Columns that never have to grow: growing costs three times what is handed out. */
const newRun = (length: number, cue: CueEvent['cue']): LiveRun => ({
  timeS: new Array<number>(length),
  angleDeg: new Array<number>(length),
  rateDegPerS: new Array<number>(length),
  quality: new Array<number>(length),
  cue,
})
