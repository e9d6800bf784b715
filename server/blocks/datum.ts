import { type Static, Type } from 'typebox'
import type { HostLine } from '../bend/host-line.ts'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { BAD, GOOD, UNCERTAIN } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import type { DatumHere } from './auto-datum.ts'
import type { OriginLost } from './unwrap.ts'

/** A quarter of a second at 1 kHz, the highest rate of the native protocol, and some to spare. */
const VALUES_MAX = 256
/** A readout older than this is not what the operator sees now: no datum is taken from it. */
const STALE_S = 1

const parameters = strict({
  overS: Type.Number({
    minimum: 0,
    maximum: 0.25,
    default: 0.25,
    description: 'The datum is the mean readout over this long before the command, seconds.',
  }),
})

/** Zero was taken: `readoutDeg` is what is taken off the readout from here on. */
export interface DatumTaken {
  readonly timeS: number
  readonly readoutDeg: number
}

const inputs = {
  angle: number('deg', 'Where the readout stands.'),
  command: item<HostLine>('host-line', '`datum` takes zero here.'),
  lost: item<OriginLost>('origin-lost', 'The zero before is so no more.'),
  here: item<DatumHere>('datum-here', 'The slack is out: zero is there.'),
}
const outputs = {
  angle: number('deg', 'From the datum.'),
  datum: item<DatumTaken>('datum', 'Zero was taken.'),
}

interface Memory {
  datumDeg: number
  /** Quality that an angle has at the best: uncertain before the first datum, bad once it was lost. */
  best: number
  /** The last values, in a ring; `end` counts all that ever came in since the last loss. */
  timeS: number[]
  readoutDeg: number[]
  end: number
}

/**
 * Zero by command: takes the mean readout over the last quarter of a second off. Before the first datum an
 * angle is uncertain; after the sensor lost its zero it is bad, until a new datum. Bad values never make a
 * datum; without a value that is fresh and not bad, the command does nothing and no `datum` comes out.
 */
export const datum = defineBlock({
  kind: 'datum',
  summary: 'Takes zero where the tube bears on the block.',
  parameters,
  inputs,
  outputs,
  optional: ['lost', 'here'],
  start: newMemory,
  step(frame, memory, { overS }: Static<typeof parameters>, rows) {
    const { angle } = frame.in
    const { angle: out } = frame.out
    const told = frame.in.command.count + frame.in.lost.count + frame.in.here.count > 0
    for (let row = 0; row < rows; row++) {
      if (told) obey(frame, memory, overS, row)
      const readoutDeg = angle.value[row] as number
      const quality = angle.quality[row] as number
      if (quality < BAD) keep(memory, angle.timeS[row] as number, readoutDeg)
      out.value[row] = readoutDeg - memory.datumDeg
      out.quality[row] = Math.max(quality, memory.best)
    }
  },
})

function newMemory(): Memory {
  const zeros = () => new Array<number>(VALUES_MAX).fill(0)
  return { datumDeg: 0, best: UNCERTAIN, timeS: zeros(), readoutDeg: zeros(), end: 0 }
}

function keep(memory: Memory, timeS: number, readoutDeg: number): void {
  const place = memory.end % VALUES_MAX
  memory.timeS[place] = timeS
  memory.readoutDeg[place] = readoutDeg
  memory.end++
}

type DatumFrame = Frame<typeof inputs, typeof outputs>

function obey(frame: DatumFrame, memory: Memory, overS: number, row: number): void {
  if (frame.in.lost.items[row]) {
    memory.end = 0
    if (memory.best !== UNCERTAIN) memory.best = BAD
  }
  const here = frame.in.here.items[row]
  if (here) takeZero(frame, memory, row, frame.in.angle.timeS[row] as number, here.readoutDeg)
  if (frame.in.command.items[row]?.act !== 'datum' || memory.end === 0) return
  const timeS = memory.timeS[(memory.end - 1) % VALUES_MAX] as number
  const ageS = (frame.in.command.timeS[row] as number) - timeS
  if (!(ageS <= STALE_S)) return
  takeZero(frame, memory, row, timeS, meanReadout(memory, timeS - overS))
}

function takeZero(
  { out }: DatumFrame,
  memory: Memory,
  row: number,
  timeS: number,
  readoutDeg: number,
): void {
  memory.datumDeg = readoutDeg
  memory.best = GOOD
  out.datum.items[row] = { timeS, readoutDeg }
  out.datum.count++
}

/** Mean of the values from `fromS` on: the last one at least. */
function meanReadout(memory: Memory, fromS: number): number {
  const oldest = Math.max(0, memory.end - VALUES_MAX)
  let sumDeg = 0
  let count = 0
  for (let value = memory.end - 1; value >= oldest; value--) {
    const place = value % VALUES_MAX
    if (count > 0 && !((memory.timeS[place] as number) >= fromS)) break
    sumDeg += memory.readoutDeg[place] as number
    count++
  }
  return sumDeg / count
}
