import { defineBlock, item, number } from '../chain/block.ts'
import { NONE } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import { type Line, lowerEnvelope } from './lower-envelope.ts'

/** The device's 32-bit tick comes round every 2^32 µs: 71.58 min. */
const TICKS = 2 ** 32
/** In 2 s even 16 ms bursts of a USB adapter let some sample through nearly at once. */
const WINDOW_US = 2_000_000
/** 24 windows: slope over 48 s, within the 30 to 60 s in which a crystal's drift stays the same. */
const WINDOWS_MAX = 24
/** Before 8 s a slope says more about jitter than about drift: 0.3 ms of it in 8 s is 40 ppm already. */
const WINDOWS_FOR_SLOPE = 4
/** A ceramic resonator is off by 0.5 %; a slope beyond twice that is no drift. */
const SLOPE_MAX = 0.01
/** A better estimate is taken on at this pace at the most, so that it looks like no jerk of the die. */
const SLEW = 0.02
/** A line that comes 1 s before it was made, or 10 s after, comes from a clock that began anew. */
const EARLY_S = 1
const LATE_S = 10
/** Up to here a tick that steps back is a restart; a longer silence may hide half a round of the tick. */
const SILENCE_S = 1000

interface Memory {
  started: boolean
  lastTick: number
  lastArrivalS: number
  /** Device time since the clock began, whole microseconds, unwrapped. */
  tickUs: number
  /** Station time minus device time, as in use. */
  offsetS: number
  lastS: number
  /** The window in hand: its end, and its point of least delay. */
  windowEndUs: number
  leastS: number
  leastAtS: number
  /** Points of least delay of the windows before. */
  atS: number[]
  delayS: number[]
  line: { x: number; y: number; slope: number }
}

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
  },
  outputs: {
    counts: number('count', 'The same counts at the time at which they were taken.'),
    restart: item<Restart>('clock-restart', 'The device began anew.'),
  },
  setsTime: true,
  start: newMemory,
  step(frame, memory, _, rows) {
    const { tick, counts } = frame.in
    const { counts: out, restart } = frame.out
    for (let row = 0; row < rows; row++) {
      out.value[row] = counts.value[row] as number
      out.quality[row] = counts.quality[row] as number
      if (tick.quality[row] !== NONE) {
        const arrivalS = tick.timeS[row] as number
        if (!takeTick(memory, tick.value[row] as number, arrivalS)) {
          restart.items[row] = { arrivalS }
          restart.count++
        }
      }
      out.timeS[row] = memory.lastS
    }
  },
})

function newMemory(): Memory {
  return {
    started: false,
    lastTick: 0,
    lastArrivalS: 0,
    tickUs: 0,
    offsetS: 0,
    lastS: 0,
    windowEndUs: 0,
    leastS: 0,
    leastAtS: 0,
    atS: [],
    delayS: [],
    line: { x: 0, y: 0, slope: 0 },
  }
}

/** @returns false when the device began anew (not for the first sample of all). */
function takeTick(memory: Memory, tick: number, arrivalS: number): boolean {
  const goesOn = memory.started && advance(memory, tick, arrivalS)
  const began = memory.started && !goesOn
  if (!goesOn) begin(memory, arrivalS)
  memory.lastTick = tick
  memory.lastArrivalS = arrivalS
  const deviceS = memory.tickUs * 1e-6
  measure(memory, deviceS, arrivalS - deviceS)
  memory.lastS = deviceS + memory.offsetS
  return !began
}

function begin(memory: Memory, arrivalS: number): void {
  memory.started = true
  memory.tickUs = 0
  memory.offsetS = arrivalS
  memory.windowEndUs = WINDOW_US
  memory.leastS = arrivalS
  memory.leastAtS = 0
  memory.atS = []
  memory.delayS = []
  // Until there is a slope the line is level and goes down to each new least offset.
  memory.line = { x: 0, y: arrivalS, slope: 0 }
}

/** Moves device time on by one tick value. @returns false, with nothing moved, if it does not fit. */
function advance(memory: Memory, tick: number, arrivalS: number): boolean {
  const silenceS = arrivalS - memory.lastArrivalS
  const forward = (tick - memory.lastTick + TICKS) % TICKS
  const long = silenceS > SILENCE_S
  if (!long && forward >= TICKS / 2) return false
  const rounds = long ? Math.max(0, Math.round((silenceS * 1e6 - forward) / TICKS)) : 0
  const stepUs = forward + rounds * TICKS
  const lateS = arrivalS - ((memory.tickUs + stepUs) * 1e-6 + memory.offsetS)
  if (!(lateS > -EARLY_S && lateS < LATE_S)) return false
  memory.tickUs += stepUs
  const target = targetOffset(memory, memory.tickUs * 1e-6, arrivalS)
  const most = SLEW * stepUs * 1e-6
  memory.offsetS += Math.min(most, Math.max(-most, target - memory.offsetS))
  return true
}

/** The offset that the envelope gives, lowered by what came with less delay since it was drawn. */
function targetOffset(memory: Memory, deviceS: number, arrivalS: number): number {
  const { x, y, slope } = memory.line
  const drift = slope * (deviceS - memory.leastAtS)
  const onLine = y + slope * (deviceS - x)
  return Math.min(onLine, memory.leastS + drift, arrivalS - deviceS)
}

function measure(memory: Memory, deviceS: number, delayS: number): void {
  const { slope } = memory.line
  // Compared along the line's slope, so that drift within a window does not choose the point.
  if (delayS < memory.leastS + slope * (deviceS - memory.leastAtS)) {
    memory.leastS = delayS
    memory.leastAtS = deviceS
  }
  if (memory.tickUs < memory.windowEndUs) return
  closeWindow(memory)
  memory.windowEndUs = memory.tickUs + WINDOW_US
  memory.leastS = delayS
  memory.leastAtS = deviceS
}

function closeWindow(memory: Memory): void {
  memory.atS.push(memory.leastAtS)
  memory.delayS.push(memory.leastS)
  if (memory.atS.length > WINDOWS_MAX) {
    memory.atS.shift()
    memory.delayS.shift()
  }
  if (memory.atS.length < WINDOWS_FOR_SLOPE) {
    memory.line.y = Math.min(memory.line.y, memory.leastS)
    return
  }
  const line: Line = lowerEnvelope(memory.atS, memory.delayS)
  memory.line = { ...line, slope: Math.min(SLOPE_MAX, Math.max(-SLOPE_MAX, line.slope)) }
}
