import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { BAD, NONE, type NumberColumn } from '../chain/column.ts'
import type { RawLine } from '../chain/raw-line.ts'
import { strict } from '../chain/strict.ts'
import type { DeviceReport, LineTrouble } from './device-report.ts'
import type { OriginLost } from './unwrap.ts'

/** Lines of the device since the chain began. `gaps` counts missing lines, `malformed` whatever has no name here. */
export interface LineCounters {
  lines: number
  samples: number
  badChecksum: number
  malformed: number
  overlong: number
  unknown: number
  gaps: number
  duplicates: number
}

export const noLinesYet = (): LineCounters => ({
  lines: 0,
  samples: 0,
  badChecksum: 0,
  malformed: 0,
  overlong: 0,
  unknown: 0,
  gaps: 0,
  duplicates: 0,
})

/** For how long readings have come without what should be beside them, seconds of readings. */
export interface Missed {
  pressureS: number
  switchS: number
}

/** What comes out of the outlet `device`. Counters come last in a batch, once. */
export type DeviceMessage =
  | { readonly type: 'report'; readonly timeS: number; readonly report: DeviceReport }
  | { readonly type: 'origin-lost'; readonly timeS: number; readonly reason: OriginLost['reason'] }
  | {
      readonly type: 'counters'
      readonly counters: Readonly<LineCounters>
      readonly missed: Readonly<Missed>
    }

/** A longer step between two readings is a wire that was lost: nothing was missed in it. */
const STEP_MAX_S = 1

interface Memory {
  readonly counters: LineCounters
  readonly missed: Missed
  /** Of the last reading; NaN before the first. */
  readingS: number
}

const inputs = {
  line: item<RawLine>('raw-line', 'Lines; those of the device are counted.'),
  counts: number('count', 'One value a sample.'),
  device: item<DeviceReport>('device-report', 'What the device says besides samples.'),
  trouble: item<LineTrouble>('line-trouble', 'What was wrong with a line.'),
  lost: item<OriginLost>('origin-lost', 'The zero is so no more.'),
  pressure: number('bar', 'A pressure on the second channel.'),
  closed: number('1', 'A switch on the second channel.'),
}
const outputs = {}

/** Tells the station what the device says and how well its lines come through. */
export const deviceFeed = defineBlock({
  kind: 'device-feed',
  summary: 'What the device says, and how well its lines come through.',
  parameters: strict({}),
  inputs,
  outputs,
  optional: ['device', 'lost', 'pressure', 'closed'],
  outlet: 'device',
  start: (): Memory => ({
    counters: noLinesYet(),
    missed: { pressureS: 0, switchS: 0 },
    readingS: Number.NaN,
  }),
  step(frame, memory, _, rows) {
    const { line, counts, device, trouble, lost } = frame.in
    const { counters, missed } = memory
    const told = device.count + trouble.count + lost.count > 0
    const before = counters.lines
    for (let row = 0; row < rows; row++) {
      if (line.items[row]?.from === 'device') counters.lines++
      if (counts.quality[row] !== NONE) counters.samples++
      if (told) tell(frame, counters, row)
      noteSecond(frame, memory, row)
    }
    if (counters.lines > before)
      send(frame, { type: 'counters', counters: { ...counters }, missed: { ...missed } })
  },
})

type FeedFrame = Frame<typeof inputs, typeof outputs>

const send = (frame: FeedFrame, message: DeviceMessage) => frame.emit(message)

function noteSecond({ in: { counts, pressure, closed } }: FeedFrame, memory: Memory, row: number) {
  const { missed, readingS } = memory
  if (isThere(pressure, row)) missed.pressureS = 0
  if (isThere(closed, row)) missed.switchS = 0
  if (!isThere(counts, row)) return
  const timeS = counts.timeS[row] as number
  const stepS = timeS - readingS
  memory.readingS = timeS
  if (!(stepS > 0 && stepS <= STEP_MAX_S)) return
  if (!isThere(pressure, row)) missed.pressureS += stepS
  if (!isThere(closed, row)) missed.switchS += stepS
}

const isThere = ({ quality }: NumberColumn, row: number) => (quality[row] as number) < BAD

function tell(frame: FeedFrame, counters: LineCounters, row: number): void {
  const timeS = frame.in.line.timeS[row] as number
  const report = frame.in.device.items[row]
  if (report) send(frame, { type: 'report', timeS, report })
  const trouble = frame.in.trouble.items[row]
  if (trouble) count(counters, trouble)
  const lost = frame.in.lost.items[row]
  if (lost) send(frame, { type: 'origin-lost', timeS, reason: lost.reason })
}

function count(memory: LineCounters, trouble: LineTrouble): void {
  switch (trouble.reason) {
    case 'gap':
      memory.gaps += trouble.missing
      return
    case 'duplicate':
      memory.duplicates++
      return
    case 'bad checksum':
    case 'bad crc':
      memory.badChecksum++
      return
    case 'unknown sentence':
      memory.unknown++
      return
    case 'overlong':
      memory.overlong++
      return
    default:
      memory.malformed++
  }
}
