import { type Static, Type } from 'typebox'
import type { Release } from '../bend/cycle-hidden.ts'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { BAD, NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'

/** The load was gone: where the arm stood then, and so the tube. */
export type LeftTube = Release

/** From here on the fall is a line: above, pump and friction let the pressure go before the arm moves. */
const FIT_SHARE = 0.5
const FIT_SHARE_MAX = 0.9
const LEVELS = 3
/** A line through fewer points says little of its own error. */
const FIT_POINTS_MIN = 5
/** Error of a single reading, where nothing better is known: the noise of a usual encoder. */
const READING_SE_DEG = 0.03
/** Three to four times that noise: an arm that moves is further from its slow mean. */
const STILL_WITHIN_DEG = 0.1
/** A mean of about ten readings. */
const MEAN_SHARE = 0.1
/** Above the level by this factor, the load is there again: noise must not make it come and go. */
const LOADED_FACTOR = 1.25

const parameters = strict({
  letOffBar: Type.Number({
    exclusiveMinimum: 0,
    maximum: 500,
    default: 5,
    description: 'Below this the tube is let off, bar.',
  }),
})

const inputs = {
  angle: number('deg', 'Of the arm.'),
  pressure: number('bar', 'Pressure of the ram.'),
  closed: number('1', 'A switch that is closed while the arm bears on the tube.'),
}
const outputs = {
  bears: number('1', 'Whether the arm bears on the tube: 1 yes, 0 no.'),
  pressed: number('deg', 'How far the load presses the tube past where it stands.'),
  left: item<LeftTube>('left-tube', 'The load was gone, and the arm stood there.'),
}

interface Memory {
  bears: number
  /** Highest pressure since the arm bears. */
  mostBar: number
  lastDeg: number
  /** Slow mean of the angle: what a still arm shows without its noise. */
  meanDeg: number
  /** Degrees for a bar while the load comes off: the give of tube and bender. */
  barDeg: number
  /** Sums of the line through angle over pressure while the load comes off. */
  points: number
  sumBar: number
  sumDeg: number
  barBar: number
  barTimesDeg: number
  degDeg: number
}

/**
 * Sees the load come off. Tube and bender are springs: while they come back, angle over pressure is a line, and
 * where it meets no pressure is where the tube stands. So the level below which it counts as let off leaves no
 * bias, and the line's scatter tells the error. A switch tells only the moment.
 */
export const letOff = defineBlock({
  kind: 'let-off',
  summary: 'Sees by pressure or switch when the tube is let off, and where it stands then.',
  parameters,
  inputs,
  outputs,
  optional: ['pressure', 'closed'],
  start: newMemory,
  step(frame, memory, { letOffBar }: Static<typeof parameters>, rows) {
    const { angle, pressure, closed } = frame.in
    const { bears, pressed } = frame.out
    for (let row = 0; row < rows; row++) {
      const angleDeg = angle.value[row] as number
      const isRead = (angle.quality[row] as number) < BAD
      const byPressure = isRead && (pressure.quality[row] as number) < BAD
      const bySwitch = isRead && (closed.quality[row] as number) < BAD
      if (byPressure) stepPressure(frame, memory, row, letOffBar)
      else if (bySwitch) stepSwitch(frame, memory, row)
      if (isRead) note(memory, angleDeg)
      bears.value[row] = memory.bears
      bears.quality[row] = byPressure || bySwitch ? 0 : NONE
      pressed.value[row] = byPressure ? memory.barDeg * (pressure.value[row] as number) : 0
      pressed.quality[row] = bears.quality[row] as number
    }
  },
})

function newMemory(): Memory {
  return { bears: 0, mostBar: 0, lastDeg: 0, meanDeg: 0, barDeg: 0, ...NO_LINE }
}

const NO_LINE = { points: 0, sumBar: 0, sumDeg: 0, barBar: 0, barTimesDeg: 0, degDeg: 0 }

type LetOffFrame = Frame<typeof inputs, typeof outputs>

function stepPressure(frame: LetOffFrame, memory: Memory, row: number, letOffBar: number): void {
  const bar = frame.in.pressure.value[row] as number
  const angleDeg = frame.in.angle.value[row] as number
  if (memory.bears === 0) {
    if (!(bar > LOADED_FACTOR * letOffBar)) return
    memory.bears = 1
    memory.mostBar = 0
  }
  memory.mostBar = Math.max(memory.mostBar, bar)
  if (bar > lineFromBar(memory, letOffBar)) Object.assign(memory, NO_LINE)
  else addPoint(memory, bar, angleDeg)
  if (!(bar < letOffBar)) return
  memory.bears = 0
  leave(frame, row, { from: 'pressure', ...lineAtNothing(memory, angleDeg) })
}

/** A high level leaves little of the lower half: then the line begins further up. */
const lineFromBar = ({ mostBar }: Memory, letOffBar: number): number =>
  Math.max(FIT_SHARE * mostBar, Math.min(FIT_SHARE_MAX * mostBar, LEVELS * letOffBar))

function stepSwitch(frame: LetOffFrame, memory: Memory, row: number): void {
  const closed = frame.in.closed.value[row] as number
  const angleDeg = frame.in.angle.value[row] as number
  if (memory.bears === 1 && closed === 0)
    leave(frame, row, { from: 'switch', ...oneReading(memory, angleDeg) })
  memory.bears = closed
}

function leave({ in: input, out }: LetOffFrame, row: number, seen: Omit<LeftTube, 'timeS'>): void {
  out.left.items[row] = { ...seen, timeS: input.angle.timeS[row] as number }
  out.left.count++
}

function addPoint(memory: Memory, bar: number, angleDeg: number): void {
  memory.points += 1
  memory.sumBar += bar
  memory.sumDeg += angleDeg
  memory.barBar += bar * bar
  memory.barTimesDeg += bar * angleDeg
  memory.degDeg += angleDeg * angleDeg
}

interface Place {
  readonly angleDeg: number
  readonly seDeg: number
}

/** The step to this reading is what the moment is known to; of a still arm the mean is known better. */
function oneReading({ lastDeg, meanDeg }: Memory, angleDeg: number): Place {
  const isStill = Math.abs(angleDeg - meanDeg) < STILL_WITHIN_DEG
  const seDeg = Math.max(READING_SE_DEG, Math.abs(angleDeg - lastDeg) / Math.sqrt(12))
  return { angleDeg: isStill ? meanDeg : angleDeg, seDeg }
}

function note(memory: Memory, angleDeg: number): void {
  memory.lastDeg = angleDeg
  memory.meanDeg += MEAN_SHARE * (angleDeg - memory.meanDeg)
}

/** Intercept of the least-squares line and its standard error; textbook formulas. */
function lineAtNothing(memory: Memory, angleDeg: number): Place {
  const { points, sumBar, sumDeg, barBar, barTimesDeg, degDeg } = memory
  const meanBar = sumBar / points
  const meanDeg = sumDeg / points
  const spread = barBar - sumBar * meanBar
  memory.barDeg = 0
  if (!(points >= FIT_POINTS_MIN && spread > 0)) return oneReading(memory, angleDeg)
  const slope = (barTimesDeg - sumBar * meanDeg) / spread
  const rest = degDeg - sumDeg * meanDeg - slope * slope * spread
  const variance = Math.max(0, rest) / (points - 2)
  memory.barDeg = Math.max(0, slope)
  return {
    angleDeg: meanDeg - slope * meanBar,
    seDeg: Math.sqrt(variance * (1 / points + meanBar ** 2 / spread)),
  }
}
