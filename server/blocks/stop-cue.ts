import type { CueEvent, CycleEvent } from '../bend/cycle-event.ts'
import type { HostLine } from '../bend/host-line.ts'
import {
  cueCycleEvent,
  newStopCue,
  type StopCueState,
  setCueAim,
  stepStopCue,
} from '../bend/stop-cue.ts'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { BAD } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'

const inputs = {
  angle: number('deg', 'From the datum, smoothed.'),
  rate: number('deg/s', 'Its rate.'),
  command: item<HostLine>('host-line', '`aim` says where to stop.'),
  events: item<readonly CycleEvent[]>('cycle-events', 'Of the bend watch.'),
}
const outputs = { cue: item<CueEvent>('cue-event', 'A stage of the cue began.') }

/**
 * Filled for each sample and read at once: never kept, so it is no part of any memory. What begins with `timeS`
 * would share its layout with runs of samples, whose times are an array: then each number would cost memory.
 */
const sample = { rateDegPerS: 0, angleDeg: 0, timeS: 0 }

/** What began in the row in hand; null between rows. */
let began: CueEvent | null = null
const report = (event: CueEvent) => {
  began = event
}

/** When to stop: see `server/bend/stop-cue.ts`. A bad angle or rate moves nothing. Not a safety function. */
export const stopCue = defineBlock({
  kind: 'stop-cue',
  summary: 'Says when to stop, early enough for the rate.',
  parameters: strict({}),
  inputs,
  outputs,
  start: (): StopCueState => newStopCue(),
  step(frame, memory, _, rows) {
    const { angle, rate, command, events } = frame.in
    const { cue } = frame.out
    const told = command.count + events.count > 0
    for (let row = 0; row < rows; row++) {
      if (told) obey(frame, memory, row)
      if (!(Math.max(angle.quality[row] as number, rate.quality[row] as number) < BAD)) continue
      sample.timeS = angle.timeS[row] as number
      sample.angleDeg = angle.value[row] as number
      sample.rateDegPerS = rate.value[row] as number
      stepStopCue(memory, sample, report)
      if (began === null) continue
      cue.items[row] = began
      cue.count++
      began = null
    }
  },
})

function obey(
  { in: input }: Frame<typeof inputs, typeof outputs>,
  memory: StopCueState,
  row: number,
) {
  const command = input.command.items[row]
  if (command?.act === 'aim') setCueAim(memory, command)
  if (command?.act === 'no-aim') setCueAim(memory, null)
  for (const event of input.events.items[row] ?? []) cueCycleEvent(memory, event)
}
