import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import type { ReceivedLine } from '../link/link.ts'
import type { Axes } from '../quality/accelerometer-fit.ts'

/** A mean of so many readings has an eighth of the noise of one, and is a third of a second at 200 Hz. */
const READINGS_MAX = 64
/** What was read longer ago says nothing of how the sensor sits now. */
const STALE_S = 2

type Reading = readonly [arrivalS: number, x: number, y: number, z: number]

export interface GravityWatch {
  hear(lines: readonly ReceivedLine[]): void
  /** Mean of the newest axes, in g as the board's scale has it; null when none came of late. */
  seen(nowS: number): Axes | null
}

/**
 * How gravity lies to an accelerometer, whatever chain is running: a set-up that names one is judged by it
 * before it is in use. Nothing of it goes on record; angles come out of the chain.
 */
export function makeGravityWatch(): GravityWatch {
  let countsPerG = 0
  let readings: Reading[] = []

  function hearLine({ text, arrivalS, from }: ReceivedLine): void {
    if (from === 'host' || !/^\$PXOB[HX]/.test(text)) return
    const decoded = decodeLine(text)
    if (!decoded.ok) return
    const { sentence } = decoded
    if (sentence.kind === 'hello') {
      countsPerG = sentence.sensor === 'accelerometer' ? sentence.countsPerTurn : 0
      readings = []
    }
    if (sentence.kind !== 'axes') return
    const { x, y, z } = sentence
    readings.push([arrivalS, x, y, z])
    if (readings.length > READINGS_MAX) readings.shift()
  }

  return {
    hear: (lines) => lines.forEach(hearLine),
    seen(nowS) {
      const fresh = readings.filter(([arrivalS]) => nowS - arrivalS <= STALE_S)
      if (countsPerG === 0 || fresh.length === 0) return null
      const mean = (axis: 1 | 2 | 3) =>
        fresh.reduce((sum, reading) => sum + reading[axis], 0) / fresh.length / countsPerG
      return { xG: mean(1), yG: mean(2), zG: mean(3) }
    },
  }
}
