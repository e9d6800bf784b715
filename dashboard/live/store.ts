import { type Signal, signal } from '@preact/signals'
import type { Cue, LiveMessage, StationState } from '../../server/messages/live.ts'
import { makeTraceRing, type TraceRing } from './trace-ring.ts'

/** 50 points a second fill any screen; 10 min of them is longer than any bend. */
const TRACE_SPACING_S = 0.0199
const TRACE_POINTS_MAX = 30_000

/** The newest sample. Plain and mutable: it changes too often for signals. */
interface Latest {
  angleDeg: number
  quality: number
  /** When it arrived, on the page's own clock; -Infinity before the first. */
  arrivedMs: number
}

export interface Store {
  readonly state: Signal<StationState | null>
  /** The cue rides with the samples, ahead of the state that repeats it. */
  readonly cue: Signal<Cue>
  /** Counts traces: a chart starts anew when it changes. */
  readonly traceNumber: Signal<number>
  readonly omitted: Signal<number>
  readonly latest: Latest
  readonly trace: TraceRing
  take(message: LiveMessage, nowMs: number): void
}

/** Holds what the page knows of the station. Fed by the socket; drawn by the widgets. */
export function makeStore(): Store {
  const state = signal<StationState | null>(null)
  const cue = signal<Cue>('none')
  const traceNumber = signal(0)
  const omitted = signal(0)
  const latest: Latest = { angleDeg: Number.NaN, quality: 2, arrivedMs: -Infinity }
  const trace = makeTraceRing(TRACE_POINTS_MAX, TRACE_SPACING_S)
  let datumS: number | null = null

  function startTrace() {
    trace.clear()
    datumS = null
    traceNumber.value += 1
  }

  function takeState(next: StationState) {
    const before = state.value
    if (next.phase === 'seated' && before?.phase !== 'seated') startTrace()
    state.value = next
    cue.value = next.cue
  }

  /** The trace comes in seconds of any origin; its end is now. */
  function takeHello(hello: Extract<LiveMessage, { type: 'hello' }>) {
    startTrace()
    const { tS, angleDeg } = hello.trace
    const firstS = tS[0] ?? 0
    tS.forEach((timeS, i) => {
      trace.push(timeS - firstS, angleDeg[i] ?? Number.NaN)
    })
    const lastS = tS.at(-1)
    if (lastS !== undefined) datumS = hello.nowS - (lastS - firstS)
    state.value = hello.state
    cue.value = hello.state.cue
  }

  function takeSamples(samples: Extract<LiveMessage, { type: 'samples' }>, nowMs: number) {
    const last = samples.tS.length - 1
    const angleDeg = samples.angleDeg[last]
    if (angleDeg === undefined) return
    latest.angleDeg = angleDeg
    latest.quality = samples.quality[last] ?? 2
    if (latest.quality < 2) latest.arrivedMs = nowMs
    if (cue.value !== samples.cue) cue.value = samples.cue
    if (samples.omitted > 0) omitted.value += samples.omitted
    if (state.value?.phase === 'no-datum') return
    samples.tS.forEach((timeS, i) => {
      datumS ??= timeS
      trace.push(timeS - datumS, samples.angleDeg[i] ?? Number.NaN)
    })
  }

  return {
    state,
    cue,
    traceNumber,
    omitted,
    latest,
    trace,
    take(message, nowMs) {
      if (message.type === 'samples') takeSamples(message, nowMs)
      else if (message.type === 'state') takeState(message.state)
      else takeHello(message)
    },
  }
}
