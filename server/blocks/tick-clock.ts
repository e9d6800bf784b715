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
/**
 * When window after window even the quickest line comes so much later than any could before, the device's clock
 * stood still for a while: what was known of it is no more. A station that stalled gives late lines as well,
 * but not for 8 s.
 */
const STEP_S = 0.25
const STEP_WINDOWS = 4
/** Up to here a tick that steps back is a restart; a longer silence may hide half a round of the tick. */
const SILENCE_S = 1000

/** What is known of a device's clock: plain data. */
export interface TickClock {
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
  /** Windows on end that came late as a whole. */
  lateWindows: number
}

export function newTickClock(): TickClock {
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
    lateWindows: 0,
  }
}

/**
 * The tick in hand: filled and read within one step, so it is no part of any memory. A number that is handed to a
 * function that is not inlined costs memory each time; one that lies in a field does not.
 */
const given = { tick: 0, arrivalS: 0, targetS: 0 }

/**
 * Takes one tick with the arrival of its line; then `lastS` is when it was, on the station's clock.
 * @returns false when the device began anew (not for the first tick of all).
 */
export function takeTick(clock: TickClock, tick: number, arrivalS: number): boolean {
  given.tick = tick
  given.arrivalS = arrivalS
  return takeGiven(clock)
}

function takeGiven(clock: TickClock): boolean {
  const goesOn = clock.started && advance(clock)
  const began = clock.started && !goesOn
  if (!goesOn) begin(clock, given.arrivalS)
  clock.lastTick = given.tick
  clock.lastArrivalS = given.arrivalS
  measure(clock)
  clock.lastS = clock.tickUs * 1e-6 + clock.offsetS
  return !began
}

function begin(clock: TickClock, arrivalS: number): void {
  clock.started = true
  clock.tickUs = 0
  clock.offsetS = arrivalS
  clock.windowEndUs = WINDOW_US
  clock.leastS = arrivalS
  clock.leastAtS = 0
  clock.atS = []
  clock.delayS = []
  // Until there is a slope the line is level and goes down to each new least offset.
  clock.line = { x: 0, y: arrivalS, slope: 0 }
  clock.lateWindows = 0
}

/** Moves device time on by one tick value. @returns false, with nothing moved, if it does not fit. */
function advance(clock: TickClock): boolean {
  const { tick, arrivalS } = given
  const silenceS = arrivalS - clock.lastArrivalS
  const forward = (tick - clock.lastTick + TICKS) % TICKS
  const long = silenceS > SILENCE_S
  if (!long && forward >= TICKS / 2) return false
  const rounds = long ? Math.max(0, Math.round((silenceS * 1e6 - forward) / TICKS)) : 0
  const stepUs = forward + rounds * TICKS
  const lateS = arrivalS - ((clock.tickUs + stepUs) * 1e-6 + clock.offsetS)
  if (!(lateS > -EARLY_S && lateS < LATE_S)) return false
  clock.tickUs += stepUs
  aimOffset(clock)
  const most = SLEW * stepUs * 1e-6
  clock.offsetS += Math.min(most, Math.max(-most, given.targetS - clock.offsetS))
  return true
}

/** The offset that the envelope gives, lowered by what came with less delay since it was drawn. */
function aimOffset(clock: TickClock): void {
  const deviceS = clock.tickUs * 1e-6
  const { x, y, slope } = clock.line
  const drift = slope * (deviceS - clock.leastAtS)
  const onLine = y + slope * (deviceS - x)
  given.targetS = Math.min(onLine, clock.leastS + drift, given.arrivalS - deviceS)
}

function measure(clock: TickClock): void {
  const deviceS = clock.tickUs * 1e-6
  const delayS = given.arrivalS - deviceS
  const { slope } = clock.line
  // Compared along the line's slope, so that drift within a window does not choose the point.
  if (delayS < clock.leastS + slope * (deviceS - clock.leastAtS)) {
    clock.leastS = delayS
    clock.leastAtS = deviceS
  }
  if (clock.tickUs < clock.windowEndUs) return
  closeWindow(clock)
  clock.windowEndUs = clock.tickUs + WINDOW_US
  clock.leastS = delayS
  clock.leastAtS = deviceS
}

/** Where the least delay of a window should lie, if the device's clock ran on. */
const expectedAt = ({ line, leastAtS }: TickClock): number =>
  line.y + line.slope * (leastAtS - line.x)

/** The device's clock has stepped: its offset is that of this window, and drift is learned anew. */
function takeStep(clock: TickClock): void {
  clock.atS = [clock.leastAtS]
  clock.delayS = [clock.leastS]
  clock.line = { x: clock.leastAtS, y: clock.leastS, slope: 0 }
  clock.offsetS = clock.leastS
  clock.lateWindows = 0
}

function closeWindow(clock: TickClock): void {
  clock.lateWindows = clock.leastS - expectedAt(clock) > STEP_S ? clock.lateWindows + 1 : 0
  if (clock.lateWindows >= STEP_WINDOWS) {
    takeStep(clock)
    return
  }
  clock.atS.push(clock.leastAtS)
  clock.delayS.push(clock.leastS)
  if (clock.atS.length > WINDOWS_MAX) {
    clock.atS.shift()
    clock.delayS.shift()
  }
  if (clock.atS.length < WINDOWS_FOR_SLOPE) {
    clock.line.y = Math.min(clock.line.y, clock.leastS)
    return
  }
  const line: Line = lowerEnvelope(clock.atS, clock.delayS)
  clock.line = { ...line, slope: Math.min(SLOPE_MAX, Math.max(-SLOPE_MAX, line.slope)) }
}
