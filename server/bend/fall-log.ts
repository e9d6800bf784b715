/** What followed the top, from the top on, in bins that double in width when the log is full. */
export interface FallLog {
  timeS: number[]
  angleDeg: number[]
  count: number
  /** How many trail bins make one entry. */
  width: number
  openTimeS: number
  openDeg: number
  openCount: number
}

/** 256 entries hold a fall of 0.1 s as finely as one of 10 s, in ten kilobytes of saved state. */
const FALL_ENTRIES = 256

export function newFallLog(): FallLog {
  return {
    timeS: new Array<number>(FALL_ENTRIES).fill(0),
    angleDeg: new Array<number>(FALL_ENTRIES).fill(0),
    count: 0,
    width: 1,
    openTimeS: 0,
    openDeg: 0,
    openCount: 0,
  }
}

export function clearFallLog(log: FallLog): void {
  log.count = 0
  log.width = 1
  log.openCount = 0
}

export function extendFallLog(log: FallLog, timeS: number, angleDeg: number): void {
  if (log.openCount === 0) {
    log.openTimeS = 0
    log.openDeg = 0
  }
  log.openTimeS += timeS
  log.openDeg += angleDeg
  log.openCount += 1
  if (log.openCount < log.width) return
  if (log.count === FALL_ENTRIES) {
    // The entry in hand is now half of one: it is filled on.
    halve(log)
    return
  }
  log.timeS[log.count] = log.openTimeS / log.openCount
  log.angleDeg[log.count] = log.openDeg / log.openCount
  log.count += 1
  log.openCount = 0
}

function halve(log: FallLog): void {
  const half = FALL_ENTRIES / 2
  for (let entry = 0; entry < half; entry += 1) {
    log.timeS[entry] = mean2(log.timeS, 2 * entry)
    log.angleDeg[entry] = mean2(log.angleDeg, 2 * entry)
  }
  log.count = half
  log.width *= 2
}

const mean2 = (values: readonly number[], first: number): number =>
  ((values[first] as number) + (values[first + 1] as number)) / 2

/** Drops what came after `toS`: it is no part of the plateau. */
export function truncateFallLog(log: FallLog, toS: number): void {
  while (log.count > 0 && (log.timeS[log.count - 1] as number) > toS) log.count -= 1
  log.openCount = 0
}
