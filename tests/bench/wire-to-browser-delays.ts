import type { LiveMessage } from '../../server/messages/live.ts'
import { angleDegOf, STILL_S, sampleLine } from './wire-to-browser-samples.ts'

/** A message as the browser got it. */
export interface Arrived {
  readonly atMs: number
  readonly text: string
}

/** The samples of one run, in the order in which they were sent. */
export interface Run {
  readonly rateHz: number
  readonly sentMs: readonly number[]
  readonly arrived: readonly Arrived[]
}

/** The code is warm and the smoother has settled on the steady rate: from here on is measured. */
const MEASURED_FROM_S = STILL_S + 1

/**
 * Samples leave the daemon in the order in which they came: the nth out is the nth in.
 *
 * @throws Error when one was left out, or shows another angle than its own.
 */
export function daemonDelaysMs({ rateHz, sentMs, arrived }: Run): number[] {
  const atMs: number[] = []
  for (const message of arrived) {
    const said = JSON.parse(message.text) as LiveMessage
    if (said.type !== 'samples') continue
    if (said.omitted > 0) throw new Error(`The browser missed ${said.omitted} samples.`)
    for (const angleDeg of said.angleDeg) {
      checkAngle(angleDeg, atMs.length, rateHz)
      atMs.push(message.atMs)
    }
  }
  return measured(atMs, sentMs, rateHz)
}

/** The spike guard's median of three shows what the sample before said; the smoother lags by nothing. */
function checkAngle(angleDeg: number, nth: number, rateHz: number): void {
  if (nth < MEASURED_FROM_S * rateHz) return
  const wantedDeg = angleDegOf(nth - 1, rateHz)
  const halfStepDeg = (angleDegOf(nth, rateHz) - wantedDeg) / 2
  if (!(Math.abs(angleDeg - wantedDeg) < halfStepDeg))
    throw new Error(`Sample ${nth} came as ${angleDeg}°, not as ${wantedDeg}°.`)
}

/** @throws Error when one was left out, or reads otherwise than it was sent. */
export function echoDelaysMs({ rateHz, sentMs, arrived }: Run): number[] {
  const samples = arrived.filter(({ text }) => text.startsWith('$PXOBS'))
  for (const [nth, { text }] of samples.entries())
    if (text !== sampleLine(nth, rateHz)) throw new Error(`Sample ${nth} came as ${text}.`)
  return measured(
    samples.map(({ atMs }) => atMs),
    sentMs,
    rateHz,
  )
}

function measured(atMs: readonly number[], sentMs: readonly number[], rateHz: number): number[] {
  if (atMs.length !== sentMs.length)
    throw new Error(`${sentMs.length} samples were sent, ${atMs.length} arrived.`)
  const delaysMs = sentMs.map((sent, nth) => (atMs[nth] ?? Number.NaN) - sent)
  return delaysMs.slice(MEASURED_FROM_S * rateHz)
}
