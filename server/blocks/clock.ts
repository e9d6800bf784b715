import { defineBlock, item, number } from '../chain/block.ts'
import { NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import type { DeviceReport } from './device-report.ts'
import { newTickClock, type TickClock, takeTick } from './tick-clock.ts'

/** The device's clock began anew: everything that counts from its start counts from there. */
export interface Restart {
  readonly arrivalS: number
}

/**
 * Gives each sample the time at which it was taken, on the station's clock. A line can only be late, never
 * early: the least of arrival minus tick, over windows of 2 s, is the best offset; from 8 s on the lower
 * envelope of those takes out the drift as well. Until then it is arrival less the least offset so far.
 *
 * What cannot be seen from one side stays in: the delay that every line has at least.
 */
export const clock = defineBlock({
  kind: 'clock',
  summary: "Maps the device's tick to the station's clock; bursts and drift do not show.",
  parameters: strict({}),
  inputs: {
    tick: number('count', 'Device microseconds, with the arrival as their time.'),
    counts: number('count', 'What is to get its time.'),
    device: item<DeviceReport>('device-report', 'A hello that nobody asked for is a start.'),
  },
  outputs: {
    counts: number('count', 'The same counts at the time at which they were taken.'),
    restart: item<Restart>('clock-restart', 'The device began anew.'),
  },
  optional: ['device'],
  setsTime: true,
  start: newTickClock,
  step(frame, memory, _, rows) {
    const { tick, counts, device } = frame.in
    const { counts: out, restart } = frame.out
    for (let row = 0; row < rows; row++) {
      out.value[row] = counts.value[row] as number
      out.quality[row] = Math.max(counts.quality[row] as number, tick.quality[row] as number)
      const arrivalS = tick.timeS[row] as number
      const goesOn =
        tick.quality[row] === NONE
          ? device.count === 0 || !isStart(memory, device.items[row])
          : takeTick(memory, tick.value[row] as number, arrivalS)
      if (!goesOn) {
        restart.items[row] = { arrivalS }
        restart.count++
      }
      out.timeS[row] = memory.lastS
    }
  },
})

/** Whether this ends what was known of the device's clock: its next tick begins a new one. */
function isStart(memory: TickClock, report: DeviceReport | null | undefined): boolean {
  if (!(memory.started && report?.kind === 'hello' && report.start)) return false
  memory.started = false
  return true
}
