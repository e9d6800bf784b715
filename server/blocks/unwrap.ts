import { type Static, Type } from 'typebox'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { BAD, NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import type { Restart } from './clock.ts'
import type { DeviceReport } from './device-report.ts'
import { mayMissCounts, noErrorsYet, type SensorErrors } from './sensor-errors.ts'

/** Counters of incremental encoders are signed 32-bit numbers on the wire. */
const COUNTER_ROUND = 2 ** 32

const parameters = strict({
  sensor: Type.Union(
    [Type.Literal('board'), Type.Literal('incremental'), Type.Literal('absolute')],
    {
      default: 'board',
      description: 'How the counts wrap; "board": as the board says, until then incremental.',
    },
  ),
  countsPerTurn: Type.Integer({
    minimum: 0,
    maximum: 2 ** 31 - 1,
    default: 0,
    description: 'Counts at which an absolute encoder wraps; 0: as the board says.',
  }),
})

const inputs = {
  counts: number('count', 'Counts as sent.'),
  countsPerTurn: number('count', 'As the board says.'),
  device: item<DeviceReport>('device-report', "The board's hello."),
  restart: item<Restart>('clock-restart', 'The device began anew.'),
}
const outputs = {
  counts: number('count', 'Counts without wraps.'),
  lost: item<OriginLost>('origin-lost', 'What was zero before is so no more.'),
}

/** Why the zero is in doubt, and how a bend is closed for it. */
export const COUNTS_LOST = 'counts lost'

/** Counts before and after this have no zero in common, or may have none: counts are missing. */
export interface OriginLost {
  readonly reason: 'device restarted' | 'another board' | typeof COUNTS_LOST
}

interface Memory {
  started: boolean
  raw: number
  counts: number
  absolute: boolean
  board: string
  /** The next sample begins a count of its own: it stands where the last one stood. */
  anew: boolean
  errors: SensorErrors
}

/**
 * Joins counts over their wrap: at 2^32 for an incremental encoder, at a turn for an absolute one. The
 * shorter way round is taken, so the shaft may turn by half a round between two samples.
 *
 * An incremental counter that began anew has lost its zero: `lost` says so, and the count goes on from where
 * it stood, for want of better. So has one that may have missed counts. An absolute encoder keeps its zero,
 * unless another board answers.
 */
export const unwrap = defineBlock({
  kind: 'unwrap',
  summary: 'Joins counts over the wrap of the counter or of the turn.',
  parameters,
  inputs,
  outputs,
  optional: ['countsPerTurn', 'device', 'restart'],
  start: ({ sensor }: Static<typeof parameters>): Memory => ({
    started: false,
    raw: 0,
    counts: 0,
    absolute: sensor === 'absolute',
    board: '',
    anew: false,
    errors: noErrorsYet(),
  }),
  step(frame, memory, { sensor, countsPerTurn }, rows) {
    const { counts, countsPerTurn: asBoard } = frame.in
    const { counts: out } = frame.out
    const news = frame.in.device.count + frame.in.restart.count > 0
    for (let row = 0; row < rows; row++) {
      if (news) takeNews(frame, memory, sensor, row)
      const quality = counts.quality[row] as number
      out.quality[row] = quality
      // A faulty sensor's counts are no position: the last one stands, marked bad.
      if (quality < BAD) {
        const turn =
          countsPerTurn > 0 ? countsPerTurn : knownTurn(asBoard.value, asBoard.quality, row)
        join(
          memory,
          counts.value[row] as number,
          memory.absolute && turn > 0 ? turn : COUNTER_ROUND,
        )
      }
      out.value[row] = memory.counts
    }
  },
})

const knownTurn = (value: Float64Array, quality: Uint8Array, row: number) =>
  quality[row] === NONE ? 0 : (value[row] as number)

function join(memory: Memory, raw: number, round: number): void {
  const step = raw - memory.raw
  if (!memory.started) memory.counts = raw
  else if (!memory.anew) memory.counts += step - round * Math.round(step / round)
  memory.started = true
  memory.anew = false
  memory.raw = raw
}

type UnwrapFrame = Frame<typeof inputs, typeof outputs>
type SensorParameter = Static<typeof parameters>['sensor']

function takeNews(frame: UnwrapFrame, memory: Memory, sensor: SensorParameter, row: number): void {
  const report = frame.in.device.items[row]
  if (report?.kind === 'hello') {
    if (sensor === 'board') memory.absolute = report.sensor === 'absolute'
    const isOther = memory.board !== '' && memory.board !== report.board
    if (isOther) loseOrigin(frame, memory, row, 'another board')
    if (isOther || report.start) memory.errors = noErrorsYet()
    memory.board = report.board
  }
  if (memory.absolute) return
  if (frame.in.restart.items[row]) loseOrigin(frame, memory, row, 'device restarted')
  if (report && mayMissCounts(memory.errors, report)) loseOrigin(frame, memory, row, COUNTS_LOST)
}

function loseOrigin(
  { out }: UnwrapFrame,
  memory: Memory,
  row: number,
  reason: OriginLost['reason'],
): void {
  // Where counts are missing the counter itself has gone on.
  if (reason !== COUNTS_LOST) memory.anew = memory.started
  out.lost.items[row] = { reason }
  out.lost.count++
}
