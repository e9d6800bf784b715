import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'

/** One count a sample at 1 kHz, 5 at 200 Hz: every sample of a run has an angle of its own. */
const COUNTS_PER_TURN = 72_000
const COUNTS_PER_S = 1000
/** The die stands still this long, so that a datum can be taken; then it turns at 5°/s. */
export const STILL_S = 3

const countsOf = (nth: number, rateHz: number) =>
  Math.max(0, nth - STILL_S * rateHz) * (COUNTS_PER_S / rateHz)

export const angleDegOf = (nth: number, rateHz: number) =>
  (360 * countsOf(nth, rateHz)) / COUNTS_PER_TURN

export const helloLine = (rateHz: number) =>
  encodeSentence({
    kind: 'hello',
    protocol: 1,
    firmware: '1.0',
    board: 'bench',
    sensor: 'incremental',
    countsPerTurn: COUNTS_PER_TURN,
    rateHz,
  })

export const sampleLine = (nth: number, rateHz: number) =>
  encodeSentence({
    kind: 'sample',
    sequence: nth % 65_536,
    tickUs: Math.round((1e6 * nth) / rateHz) % 2 ** 32,
    counts: countsOf(nth, rateHz),
    flags: 8,
    second: null,
  })
