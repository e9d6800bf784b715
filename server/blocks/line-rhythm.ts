import { type Line, lowerEnvelope } from './lower-envelope.ts'

/** Readings of this long give the first period; until then a reading's time is its arrival. */
const LEARN_S = 1
/** At more than a thousand lines a second the first of them say enough. */
const LEARN_POINTS_MAX = 1024
/** In 0.25 s even 16 ms bursts of a USB adapter let some line through nearly at once. */
const SLOT_S = 0.25
/** 40 slots are 10 s: a sketch's own period stays the same for longer. */
const SLOTS_MAX = 40
/** Above this period bursts of 16 ms hide no lost line: each reading is judged by itself. */
const SLOW_S = 0.04
/** As the clock of ticks: a better estimate is taken on at this pace at the most. */
const SLEW = 0.02
/** A lost line makes all after it late by a whole period; 0.2 of one is left for what is not known so well. */
const LOST_FROM = 0.8
/** Early by so much of a period: what was taken for lost had only been late, or lines come faster now. */
const EARLY_FROM = -0.3
/** Slots that do not fit, less those that do: a lost line now and then is no other rhythm. */
const MISFITS_MAX = 3
/** So long may the station have been busy, so that late lines were taken for lost ones. */
const STALL_MAX_S = 5
/** After a longer pause nothing says how many readings are missing. */
const SILENCE_S = 1
const SILENCE_PERIODS = 20

/** What is known of the rhythm of a sensor without a clock: plain data. */
export interface LineRhythm {
  started: boolean
  learned: boolean
  /** Which reading this is since the beginning, counted with those that were lost. */
  count: number
  firstS: number
  lastArrivalS: number
  lastS: number
  /** Points of least delay: which reading, and its arrival. */
  atCount: number[]
  atS: number[]
  /** Arrival by count; its slope is the period. */
  line: { x: number; y: number; slope: number }
  /** The slot in hand: its end, its readings, and its point of least delay. */
  slotEndS: number
  slotReadings: number
  leastCount: number
  leastS: number
  /** Lines taken for lost since `shiftedS`, which may yet turn out to have been late. */
  shifts: number
  shiftedS: number
  /** Slots that did not fit, less those that did: when they prevail, the rhythm has changed. */
  misfits: number
}

export function newLineRhythm(): LineRhythm {
  return {
    started: false,
    learned: false,
    count: 0,
    firstS: 0,
    lastArrivalS: 0,
    lastS: 0,
    atCount: [],
    atS: [],
    line: { x: 0, y: 0, slope: 0 },
    slotEndS: 0,
    slotReadings: 0,
    leastCount: 0,
    leastS: 0,
    shifts: 0,
    shiftedS: 0,
    misfits: 0,
  }
}

/** Takes the arrival of one reading; then `lastS` is when it was taken, on the station's clock. */
export function takeArrival(rhythm: LineRhythm, arrivalS: number): void {
  const pauseS = arrivalS - rhythm.lastArrivalS
  const pauseMaxS = Math.max(SILENCE_S, SILENCE_PERIODS * rhythm.line.slope)
  if (!(rhythm.started && pauseS >= 0 && pauseS <= pauseMaxS)) begin(rhythm, arrivalS)
  else rhythm.count++
  rhythm.lastArrivalS = arrivalS
  if (rhythm.learned) follow(rhythm, arrivalS)
  else learn(rhythm, arrivalS)
}

function begin(rhythm: LineRhythm, arrivalS: number): void {
  Object.assign(rhythm, newLineRhythm(), { started: true, firstS: arrivalS, lastS: rhythm.lastS })
}

function learn(rhythm: LineRhythm, arrivalS: number): void {
  rhythm.lastS = Math.max(rhythm.lastS, arrivalS)
  if (rhythm.atS.length < LEARN_POINTS_MAX) {
    rhythm.atCount.push(rhythm.count)
    rhythm.atS.push(arrivalS)
  }
  if (!(arrivalS - rhythm.firstS >= LEARN_S && rhythm.count >= 2)) return
  const line = lowerEnvelope(rhythm.atCount, rhythm.atS)
  if (!(line.slope > 0)) return
  rhythm.learned = true
  rhythm.line = { ...line }
  keepLeastOfEachSlot(rhythm)
  openSlot(rhythm, arrivalS)
}

/** Thins what was learned to what will be kept from now on. */
function keepLeastOfEachSlot(rhythm: LineRhythm): void {
  const kept = new Map<number, number>()
  for (const [place, atS] of rhythm.atS.entries()) {
    const slot = Math.floor((atS - rhythm.firstS) / SLOT_S)
    const best = kept.get(slot)
    if (best === undefined || latenessOf(rhythm, place) < latenessOf(rhythm, best))
      kept.set(slot, place)
  }
  const places = [...kept.values()]
  rhythm.atCount = places.map((place) => rhythm.atCount[place] as number)
  rhythm.atS = places.map((place) => rhythm.atS[place] as number)
}

const latenessOf = (rhythm: LineRhythm, place: number): number =>
  lateS(rhythm, rhythm.atCount[place] as number, rhythm.atS[place] as number)

const lineAt = ({ line }: LineRhythm, count: number): number =>
  line.y + (count - line.x) * line.slope

const lateS = (rhythm: LineRhythm, count: number, arrivalS: number): number =>
  arrivalS - lineAt(rhythm, count)

function openSlot(rhythm: LineRhythm, arrivalS: number): void {
  rhythm.slotEndS = arrivalS + SLOT_S
  rhythm.slotReadings = 1
  rhythm.leastCount = rhythm.count
  rhythm.leastS = arrivalS
}

function noteInSlot(rhythm: LineRhythm, arrivalS: number): void {
  rhythm.slotReadings++
  if (!(lateS(rhythm, rhythm.count, arrivalS) < lateS(rhythm, rhythm.leastCount, rhythm.leastS)))
    return
  rhythm.leastCount = rhythm.count
  rhythm.leastS = arrivalS
}

/** A reading when the period is known: it is counted, the line is drawn anew, and the reading gets its time. */
function follow(rhythm: LineRhythm, arrivalS: number): void {
  const isSlow = rhythm.line.slope >= SLOW_S
  const asHeard = rhythm.count
  if (isSlow) openSlot(rhythm, arrivalS)
  if (isSlow || arrivalS >= rhythm.slotEndS) {
    if (!closeSlot(rhythm, arrivalS)) {
      begin(rhythm, arrivalS)
      learn(rhythm, arrivalS)
      return
    }
    if (!isSlow) openSlot(rhythm, arrivalS)
  } else noteInSlot(rhythm, arrivalS)
  // A line that a slow sensor has lost is missing right here, that of a fast one somewhere in the slot.
  setTime(rhythm, isSlow ? Math.max(0, 1 + rhythm.count - asHeard) : 1, arrivalS)
}

/**
 * Judges the slot in hand by its point of least delay: is it late by whole periods, then so many lines were
 * lost; is it early, then those taken for lost had only been late.
 *
 * @returns false when the rhythm has changed and is to be learned anew.
 */
function closeSlot(rhythm: LineRhythm, arrivalS: number): boolean {
  const periodS = rhythm.line.slope
  const latePeriods = lateS(rhythm, rhythm.leastCount, rhythm.leastS) / periodS
  if (arrivalS - rhythm.shiftedS > STALL_MAX_S) rhythm.shifts = 0
  const lost = lostLines(latePeriods, rhythm.shifts)
  const isEarly = latePeriods - lost < EARLY_FROM
  const isFarOff = lost > Math.max(1, rhythm.slotReadings / 4)
  const change = isFarOff ? 2 : isEarly || lost > 0 ? 1 : -1
  rhythm.misfits = Math.max(0, rhythm.misfits + change)
  if (rhythm.misfits > MISFITS_MAX) return false
  rhythm.count += lost
  if (lost !== 0) {
    rhythm.shifts = Math.max(0, rhythm.shifts + lost)
    rhythm.shiftedS = arrivalS
  }
  keepPoint(rhythm, rhythm.leastCount + lost, rhythm.leastS)
  return true
}

/** Lines lost before this point; less than none where lines counted as lost have come after all. */
function lostLines(latePeriods: number, shifts: number): number {
  if (latePeriods >= LOST_FROM) return Math.floor(latePeriods + 1 - LOST_FROM)
  if (latePeriods < EARLY_FROM) return -Math.min(shifts, Math.round(-latePeriods))
  return 0
}

function keepPoint(rhythm: LineRhythm, count: number, atS: number): void {
  // Counted back after a stall: nothing may stand beside or behind the point that is kept now.
  while ((rhythm.atCount.at(-1) ?? -1) >= count) {
    rhythm.atCount.pop()
    rhythm.atS.pop()
  }
  rhythm.atCount.push(count)
  rhythm.atS.push(atS)
  if (rhythm.atCount.length > SLOTS_MAX) {
    rhythm.atCount.shift()
    rhythm.atS.shift()
  }
  if (rhythm.atCount.length < 2) return
  const line: Line = lowerEnvelope(rhythm.atCount, rhythm.atS)
  if (line.slope > 0) rhythm.line = { ...line }
}

/** Moves time on by `steps` periods, and a little towards the line; no reading is taken after it has come. */
function setTime(rhythm: LineRhythm, steps: number, arrivalS: number): void {
  const periodS = rhythm.line.slope
  const inSlotS = Math.min(0, lateS(rhythm, rhythm.leastCount, rhythm.leastS))
  const targetS = Math.min(arrivalS, lineAt(rhythm, rhythm.count) + inSlotS)
  const stepS = steps * periodS
  const leastS = rhythm.lastS + stepS * (1 - SLEW)
  const mostS = rhythm.lastS + stepS * (1 + SLEW)
  rhythm.lastS = Math.min(mostS, Math.max(leastS, targetS))
}
