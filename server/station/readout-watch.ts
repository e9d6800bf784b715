import { BAD, GOOD } from '../chain/column.ts'

/** Over how long a readout is averaged, seconds. */
const OVER_S = 1
/** Of that at least this much must be there. */
const LEAST_S = 0.8
const SAMPLES_LEAST = 5
/** An older one is not what the readout shows now. */
const STALE_S = 0.5
/** A second at the 1 kHz of the native protocol, and some to spare; the oldest make room. */
const SAMPLES_MAX = 1200
/** Noise beyond this is no reading: three times that of a fast 12-bit chip. */
const SD_MAX_DEG = 0.2
/** So much between the two halves of the second, and it is still moving. */
const DRIFT_MAX_DEG = 0.1

/** The mean over the last second of what stood still. */
export interface StillReading {
  readonly meanDeg: number
  readonly sdDeg: number
  readonly samples: number
  /** All of it was good: of an angle, that its datum stands too. */
  readonly isGood: boolean
}

/** Why there is none. */
type NoReading = 'no-signal' | 'not-still'

export interface ReadoutWatch {
  add(timeS: readonly number[], valueDeg: readonly number[], quality: readonly number[]): void
  /** Another chain begins: what came before is of another scale. */
  clear(): void
  read(nowS: number): StillReading | NoReading
  /** Still or not; null when it is bad, or nothing came yet. */
  newest(): number | null
}

interface Sample {
  readonly timeS: number
  readonly valueDeg: number
  readonly quality: number
}

const meanOf = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + value, 0) / values.length

function stillReading(samples: readonly Sample[]): StillReading | NoReading {
  const values = samples.map(({ valueDeg }) => valueDeg)
  const meanDeg = meanOf(values)
  const squares = values.reduce((sum, value) => sum + (value - meanDeg) ** 2, 0)
  const sdDeg = Math.sqrt(squares / (values.length - 1))
  const half = values.length >> 1
  const driftDeg = Math.abs(meanOf(values.slice(half)) - meanOf(values.slice(0, half)))
  if (!(sdDeg <= SD_MAX_DEG && driftDeg <= DRIFT_MAX_DEG)) return 'not-still'
  const isGood = samples.every(({ quality }) => quality === GOOD)
  return { meanDeg, sdDeg, samples: values.length, isGood }
}

/** Keeps the last second of an angle, to read it off when it stands still. */
export function makeReadoutWatch(): ReadoutWatch {
  let samples: Sample[] = []
  return {
    add(timeS, valueDeg, quality) {
      for (const [i, time] of timeS.entries())
        samples.push({ timeS: time, valueDeg: valueDeg[i] ?? 0, quality: quality[i] ?? BAD })
      if (samples.length > 2 * SAMPLES_MAX) samples = samples.slice(-SAMPLES_MAX)
    },
    clear() {
      samples = []
    },
    read(nowS) {
      const newestS = samples.at(-1)?.timeS ?? Number.NEGATIVE_INFINITY
      if (!(nowS - newestS <= STALE_S)) return 'no-signal'
      const last = samples.filter(({ timeS }) => newestS - timeS < OVER_S)
      const oldestS = last[0]?.timeS ?? newestS
      const isWhole = newestS - oldestS >= LEAST_S && last.length >= SAMPLES_LEAST
      if (!isWhole || last.some(({ quality }) => quality >= BAD)) return 'no-signal'
      return stillReading(last)
    },
    newest() {
      const { valueDeg, quality } = samples.at(-1) ?? { valueDeg: 0, quality: BAD }
      return quality < BAD ? valueDeg : null
    },
  }
}
