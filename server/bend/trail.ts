/**
 * The last seconds of the angle, in bins of at least 5 ms, as plain data. Bin numbers count up from the
 * last `clearTrail`; only the newest `TRAIL_BINS` can still be read.
 */
export interface Trail {
  timeS: number[]
  angleDeg: number[]
  /** Sum of all bins up to and including this one: any window's mean costs two reads. */
  sumDeg: number[]
  /** Number the next bin will get. */
  end: number
  /** The bin that is being filled. */
  openAtS: number
  openTimeS: number
  openDeg: number
  openCount: number
  /** First bins of the windows that reach 0.1 s, 0.2 s and 0.4 s back. */
  short: number
  late: number
  early: number
}

/** 512 bins of 5 ms reach 2.5 s back: a rise's end, a hold of a second and the start of a let-off. */
export const TRAIL_BINS = 512
/** 200 bins a second follow a fall of 0.03 s; denser samples are averaged, which loses no information. */
const BIN_S = 0.005

const SHORT_S = 0.1
/** Whole periods of a 10 Hz vibration, the usual shake of a pump, so that it averages out. */
const HALF_S = 0.2

export function newTrail(): Trail {
  const zeros = () => new Array<number>(TRAIL_BINS).fill(0)
  return {
    timeS: zeros(),
    angleDeg: zeros(),
    sumDeg: zeros(),
    end: 0,
    openAtS: 0,
    openTimeS: 0,
    openDeg: 0,
    openCount: 0,
    short: 0,
    late: 0,
    early: 0,
  }
}

export function clearTrail(trail: Trail): void {
  trail.end = 0
  trail.openCount = 0
  trail.short = 0
  trail.late = 0
  trail.early = 0
}

/** Takes one sample. @returns true when a bin was completed by it: there is something new to look at. */
export function extendTrail(
  trail: Trail,
  { timeS, angleDeg }: Readonly<{ timeS: number; angleDeg: number }>,
): boolean {
  // A hair of slack, so that 200 Hz gives one sample a bin in spite of rounding.
  const full = trail.openCount > 0 && timeS - trail.openAtS > BIN_S - 1e-6
  if (full) closeBin(trail)
  if (trail.openCount === 0) {
    trail.openAtS = timeS
    trail.openTimeS = 0
    trail.openDeg = 0
  }
  trail.openTimeS += timeS - trail.openAtS
  trail.openDeg += angleDeg
  trail.openCount += 1
  return full
}

function closeBin(trail: Trail): void {
  const place = trail.end % TRAIL_BINS
  const angleDeg = trail.openDeg / trail.openCount
  const before = trail.end === 0 ? 0 : at(trail.sumDeg, trail.end - 1)
  const timeS = trail.openAtS + trail.openTimeS / trail.openCount
  trail.timeS[place] = timeS
  trail.angleDeg[place] = angleDeg
  trail.sumDeg[place] = before + angleDeg
  trail.end += 1
  trail.openCount = 0
  trail.short = advance(trail, trail.short, timeS - SHORT_S, 2)
  trail.late = advance(trail, trail.late, timeS - HALF_S, 3)
  trail.early = advance(trail, trail.early, timeS - 2 * HALF_S, 6)
}

/** First bin later than `afterS`, but early enough that `least` bins remain: sparse samples reach further back. */
function advance(trail: Trail, from: number, afterS: number, least: number): number {
  let bin = Math.max(from, oldestBin(trail))
  const last = trail.end - least
  while (bin < last && at(trail.timeS, bin) <= afterS) bin += 1
  return bin
}

/** The column's value in a bin. The bin must lie between `oldestBin` and `end`. */
export function at(column: readonly number[], bin: number): number {
  return column[bin % TRAIL_BINS] as number
}

/** Number of the oldest bin that can be read; its sum is only the base for the bins after it. */
export function oldestBin(trail: Trail): number {
  return Math.max(0, trail.end - TRAIL_BINS + 1)
}

/** Mean of the bins from `from` up to, not including, `to`. */
export function meanOf(trail: Trail, from: number, to: number): number {
  const before = from === 0 ? 0 : at(trail.sumDeg, from - 1)
  return (at(trail.sumDeg, to - 1) - before) / (to - from)
}
