import { type Static, Type } from 'typebox'
import type { HostLine } from '../bend/host-line.ts'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { BAD } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'

/** Zero is here: where the tube began to bear. */
export interface DatumHere {
  readonly readoutDeg: number
}

/** From the level up to this many times it, angle over pressure is the straight line of a spring. */
const LINE_TO = 3
/** So many times it without enough points, the pressure has jumped. */
const JUMPS_TO = 10
/** Fewer points make no line. */
const POINTS_MIN = 5
/** Pressure that rises while the die goes less than this is a ram against a stop, not a tube that bears. */
const MOVED_MIN_DEG = 0.05
/** A die that is this far past its own slow mean is moving forward. */
const AHEAD_MIN_DEG = 0.1
const MEAN_S = 0.25
/** Let go again before the die is this far, as the bend watch has it, nothing was bent. */
const KNOCK_DEG = 1

const parameters = strict({
  letOffBar: Type.Number({
    exclusiveMinimum: 0,
    maximum: 500,
    default: 5,
    description: 'Below this nothing bears, bar.',
  }),
})

const inputs = {
  angle: number('deg', 'Where the readout stands.'),
  command: item<HostLine>('host-line', '`datum` and `close`.'),
  pressure: number('bar', 'Pressure of the ram.'),
  closed: number('1', 'A switch that is closed while the tube bears.'),
}
const outputs = { here: item<DatumHere>('datum-here', 'The slack is out: zero is here.') }

interface Memory {
  /** `open`: a datum was taken; `idle`: it is waited for that nothing bears; `slack`: nothing bears yet. */
  state: 'open' | 'idle' | 'slack'
  /** Zero was taken by this block: it may have been a knock. */
  isOwn: boolean
  zeroDeg: number
  /** Furthest since zero was taken. */
  mostDeg: number
  meanDeg: number
  lastS: number
  /** Of the line through angle over pressure as the load comes on. */
  points: number
  leastDeg: number
  sumBar: number
  sumDeg: number
  barBar: number
  barTimesDeg: number
}

/**
 * Zero by itself where the slack is out: the pressure rises and the die moves, both at once. Tube and bender are
 * a spring: angle over pressure is a line, and where it meets no pressure is where the tube began to bear. Once
 * for a bend: a datum by hand, or a bend that is not closed, keeps it still.
 */
export const autoDatum = defineBlock({
  kind: 'auto-datum',
  summary: 'Takes zero by itself when the slack is out.',
  parameters,
  inputs,
  outputs,
  optional: ['pressure', 'closed'],
  start: newMemory,
  step(frame, memory, { letOffBar }: Static<typeof parameters>, rows) {
    const { angle, pressure, closed, command } = frame.in
    for (let row = 0; row < rows; row++) {
      if (command.count > 0) obey(memory, command.items[row])
      if (!((angle.quality[row] as number) < BAD)) continue
      const angleDeg = angle.value[row] as number
      memory.mostDeg = Math.max(memory.mostDeg, angleDeg)
      const isAhead = followMean(memory, angle.timeS[row] as number, angleDeg)
      const bar = pressure.value[row] as number
      const isClosed = closed.value[row] === 1
      if ((pressure.quality[row] as number) < BAD)
        byPressure(frame, memory, row, { bar, angleDeg, letOffBar })
      else if ((closed.quality[row] as number) < BAD)
        bySwitch(frame, memory, row, { isClosed, isAhead, angleDeg })
    }
  },
})

const NO_LINE = { points: 0, leastDeg: 0, sumBar: 0, sumDeg: 0, barBar: 0, barTimesDeg: 0 }

function newMemory(): Memory {
  return { state: 'idle', isOwn: false, zeroDeg: 0, mostDeg: 0, meanDeg: 0, lastS: -1, ...NO_LINE }
}

type AutoFrame = Frame<typeof inputs, typeof outputs>

function obey(memory: Memory, command: HostLine | null | undefined): void {
  if (command?.act === 'datum') {
    memory.state = 'open'
    memory.isOwn = false
  }
  if (command?.act === 'close') memory.state = 'idle'
}

/** @returns whether the die is ahead of its slow mean. */
function followMean(memory: Memory, timeS: number, angleDeg: number): boolean {
  const stepS = timeS - memory.lastS
  const isFirst = memory.lastS < 0 || !(stepS >= 0 && stepS < 1)
  const share = isFirst ? 1 : Math.min(1, stepS / MEAN_S)
  memory.meanDeg += share * (angleDeg - memory.meanDeg)
  memory.lastS = timeS
  return angleDeg - memory.meanDeg > AHEAD_MIN_DEG
}

/** Nothing bears: a bend may begin, or the one before was a knock. */
function atRest(memory: Memory): void {
  const wasKnock = memory.isOwn && memory.mostDeg < memory.zeroDeg + KNOCK_DEG
  if (memory.state === 'idle' || (memory.state === 'open' && wasKnock)) memory.state = 'slack'
}

function take({ out }: AutoFrame, memory: Memory, row: number, readoutDeg: number): void {
  memory.state = 'open'
  memory.isOwn = true
  memory.zeroDeg = readoutDeg
  memory.mostDeg = readoutDeg
  out.here.items[row] = { readoutDeg }
  out.here.count++
}

interface Load {
  readonly bar: number
  readonly angleDeg: number
  readonly letOffBar: number
}

function byPressure(frame: AutoFrame, memory: Memory, row: number, load: Load): void {
  const { bar, angleDeg, letOffBar } = load
  if (bar < letOffBar) {
    atRest(memory)
    Object.assign(memory, NO_LINE)
    return
  }
  if (memory.state !== 'slack') return
  if (memory.points === 0) memory.leastDeg = angleDeg
  memory.points += 1
  memory.sumBar += bar
  memory.sumDeg += angleDeg
  memory.barBar += bar * bar
  memory.barTimesDeg += bar * angleDeg
  const isLong = memory.points >= POINTS_MIN || bar >= JUMPS_TO * letOffBar
  if (!(bar >= LINE_TO * letOffBar && isLong)) return
  // A pressure that jumps leaves no line: the ram met the die at speed, and a person sets zero.
  const zeroDeg = angleDeg - memory.leastDeg >= MOVED_MIN_DEG ? atNothing(memory) : null
  if (zeroDeg === null) memory.state = 'idle'
  else take(frame, memory, row, zeroDeg)
}

/** Where the line meets no pressure; null where there is no line that rises. */
function atNothing({ points, sumBar, sumDeg, barBar, barTimesDeg }: Memory): number | null {
  const spread = barBar - (sumBar * sumBar) / points
  const slope = (barTimesDeg - (sumBar * sumDeg) / points) / spread
  return points >= POINTS_MIN && slope > 0 ? (sumDeg - slope * sumBar) / points : null
}

interface Contact {
  readonly isClosed: boolean
  readonly isAhead: boolean
  readonly angleDeg: number
}

function bySwitch(frame: AutoFrame, memory: Memory, row: number, contact: Contact): void {
  if (!contact.isClosed) atRest(memory)
  else if (memory.state === 'slack' && contact.isAhead) take(frame, memory, row, contact.angleDeg)
  else if (memory.state === 'slack') memory.state = 'idle'
}
