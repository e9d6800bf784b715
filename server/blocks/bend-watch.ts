import { type Static, Type } from 'typebox'
import {
  CYCLE_DEFAULTS,
  type CycleState,
  closeCycle,
  datumTaken,
  linkBack,
  linkLost,
  newCycle,
  type Report,
  stepCycle,
} from '../bend/cycle.ts'
import type { CycleEvent } from '../bend/cycle-event.ts'
import type { HostLine } from '../bend/host-line.ts'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'
import type { DatumTaken } from './datum.ts'
import type { OriginLost } from './unwrap.ts'

const degrees = (standard: number, description: string) =>
  Type.Number({ exclusiveMinimum: 0, maximum: 90, default: standard, description })

const parameters = strict({
  startDeg: degrees(CYCLE_DEFAULTS.startDeg, 'So far past the datum it is a bend.'),
  letOffDeg: degrees(CYCLE_DEFAULTS.letOffDeg, 'So far back from the top it is letting off.'),
  takenOutDeg: degrees(CYCLE_DEFAULTS.takenOutDeg, 'So far below the plateau the tube is out.'),
})

const inputs = {
  angle: number('deg', 'From the datum, without spikes, not smoothed.'),
  command: item<HostLine>('host-line', '`close` and `link`.'),
  datum: item<DatumTaken>('datum', 'Zero was taken.'),
  lost: item<OriginLost>('origin-lost', 'The zero is so no more: an open bend cannot go on.'),
}
const outputs = {
  events: item<readonly CycleEvent[]>('cycle-events', 'What happened at this row, in order.'),
}

/** Filled for each sample and read at once: never kept, so it is no part of any memory. */
const sample = { timeS: 0, angleDeg: 0, quality: 0 }

/** The cycle of a bend: see `server/bend/cycle.ts`, which this block only connects. */
export const bendWatch = defineBlock({
  kind: 'bend-watch',
  summary: 'Sees a bend begin, its peak, the letting off and where it settles.',
  parameters,
  inputs,
  outputs,
  optional: ['lost'],
  start: (): CycleState => newCycle(),
  step(frame, memory, options: Static<typeof parameters>, rows) {
    const { angle, command, datum, lost } = frame.in
    const { events } = frame.out
    const told = command.count + datum.count + lost.count > 0
    const found: CycleEvent[] = []
    const report: Report = (event) => {
      found.push(event)
    }
    for (let row = 0; row < rows; row++) {
      if (told) obey(frame, memory, row, report)
      sample.timeS = angle.timeS[row] as number
      sample.angleDeg = angle.value[row] as number
      sample.quality = angle.quality[row] as number
      stepCycle(memory, options, sample, report)
      if (found.length === 0) continue
      events.items[row] = found.splice(0)
      events.count++
    }
  },
})

function obey(
  frame: Frame<typeof inputs, typeof outputs>,
  memory: CycleState,
  row: number,
  report: Report,
): void {
  const timeS = frame.in.angle.timeS[row] as number
  if (frame.in.lost.items[row]) linkBack(memory, timeS, false, report)
  const command = frame.in.command.items[row]
  if (command?.act === 'close') closeCycle(memory, timeS, command.reason, report)
  if (command?.act === 'link' && command.state === 'lost') linkLost(memory, timeS)
  const datum = frame.in.datum.items[row]
  if (datum) datumTaken(memory, datum.timeS, datum.readoutDeg, report)
}
