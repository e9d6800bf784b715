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
import { type Release, seeRelease, touchNow } from '../bend/cycle-hidden.ts'
import type { HostLine } from '../bend/host-line.ts'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { strict } from '../chain/strict.ts'
import type { DatumTaken } from './datum.ts'
import type { LeftTube } from './let-off.ts'
import { COUNTS_LOST, type OriginLost } from './unwrap.ts'

const degrees = (standard: number, description: string) =>
  Type.Number({ exclusiveMinimum: 0, maximum: 90, default: standard, description })

const parameters = strict({
  startDeg: degrees(CYCLE_DEFAULTS.startDeg, 'So far past the datum it is a bend.'),
  letOffDeg: degrees(CYCLE_DEFAULTS.letOffDeg, 'So far back from the top it is letting off.'),
  takenOutDeg: degrees(CYCLE_DEFAULTS.takenOutDeg, 'So far below the plateau the tube is out.'),
  losesSight: Type.Boolean({
    default: false,
    description: 'The sensor sits on the arm, which leaves the tube when it is let off.',
  }),
})

const inputs = {
  angle: number('deg', 'From the datum, without spikes, not smoothed.'),
  command: item<HostLine>('host-line', '`close` and `link`.'),
  datum: item<DatumTaken>('datum', 'Zero was taken.'),
  lost: item<OriginLost>('origin-lost', 'The zero is so no more: an open bend cannot go on.'),
  left: item<LeftTube>('left-tube', 'The load was gone, and the arm stood there.'),
}
const outputs = {
  events: item<readonly CycleEvent[]>('cycle-events', 'What happened at this row, in order.'),
}

/** Filled for each sample and read at once: never kept, so it is no part of any memory. Its order: see stop-cue.ts. */
const sample = { quality: 0, angleDeg: 0, timeS: 0 }

/** What the row in hand brought to light; empty between rows. */
let found: CycleEvent[] = []
const report: Report = (event) => {
  found.push(event)
}

/** The cycle of a bend: see `server/bend/cycle.ts`, which this block only connects. */
export const bendWatch = defineBlock({
  kind: 'bend-watch',
  summary: 'Sees a bend begin, its peak, the letting off and where it settles.',
  parameters,
  inputs,
  outputs,
  optional: ['lost', 'left'],
  start: (): CycleState => newCycle(),
  step(frame, memory, options: Static<typeof parameters>, rows) {
    const { angle, command, datum, lost, left } = frame.in
    const { events } = frame.out
    const told = command.count + datum.count + lost.count + left.count > 0
    for (let row = 0; row < rows; row++) {
      if (told) obey(frame, memory, options, row)
      sample.timeS = angle.timeS[row] as number
      sample.angleDeg = angle.value[row] as number
      sample.quality = angle.quality[row] as number
      stepCycle(memory, options, sample, report)
      if (found.length === 0) continue
      events.items[row] = found
      found = []
      events.count++
    }
  },
})

function obey(
  frame: Frame<typeof inputs, typeof outputs>,
  memory: CycleState,
  options: Static<typeof parameters>,
  row: number,
): void {
  const timeS = frame.in.angle.timeS[row] as number
  const lost = frame.in.lost.items[row]
  if (lost?.reason === COUNTS_LOST) closeCycle(memory, timeS, COUNTS_LOST, report)
  else if (lost) linkBack(memory, timeS, false, report)
  const command = frame.in.command.items[row]
  if (command?.act === 'close') closeCycle(memory, timeS, command.reason, report)
  if (command?.act === 'link' && command.state === 'lost') linkLost(memory, timeS)
  const release = options.losesSight ? releaseAt(frame, memory, row) : null
  if (release) seeRelease(memory, options, release, report)
  const datum = frame.in.datum.items[row]
  if (datum) datumTaken(memory, datum.timeS, datum.readoutDeg, report)
}

/** What this row says of where a tube stands that the sensor does not see. */
function releaseAt(
  { in: input }: Frame<typeof inputs, typeof outputs>,
  memory: CycleState,
  row: number,
): Release | null {
  const timeS = input.angle.timeS[row] as number
  const command = input.command.items[row]
  if (command?.act === 'touch') return touchNow(memory, timeS)
  if (command?.act === 'checked')
    return { from: 'checked', timeS, angleDeg: command.checkedDeg, seDeg: null }
  return input.left.items[row] ?? null
}
