import { type Signal, signal } from '@preact/signals'
import type { Cue, LiveMessage, StationState } from '../../server/messages/live.ts'
import { makeTraceRing, type TraceRing } from './trace-ring.ts'

/** 50 points a second fill any screen; 10 min of them is longer than any bend. */
const TRACE_SPACING_S = 0.0199
const TRACE_POINTS_MAX = 30_000

/** The newest sample. Plain and mutable: it changes too often for signals. */
interface Latest {
  angleDeg: number
  /** The same as the digits on show have it, so that what is left to go agrees with them; NaN: none. */
  shownDeg: number
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
  const latest: Latest = {
    angleDeg: Number.NaN,
    shownDeg: Number.NaN,
    quality: 2,
    arrivedMs: -Infinity,
  }
  const trace = makeTraceRing(TRACE_POINTS_MAX, TRACE_SPACING_S)
  let datumS: number | null = null

  function startTrace(atS: number | null) {
    trace.clear()
    datumS = atS
    traceNumber.value += 1
  }

  /** Zero may be taken again before the bend began: the trace and the times of a go count from the last. */
  function takeState(next: StationState) {
    if (next.datumS !== datumS) startTrace(next.datumS)
    state.value = next
    cue.value = next.cue
  }

  function push({ tS, angleDeg }: { tS: readonly number[]; angleDeg: readonly number[] }) {
    if (datumS === null) return
    for (const [i, timeS] of tS.entries())
      if (timeS >= datumS) trace.push(timeS - datumS, angleDeg[i] ?? Number.NaN)
  }

  function takeHello(hello: Extract<LiveMessage, { type: 'hello' }>) {
    startTrace(hello.state.datumS)
    push(hello.trace)
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
    if (state.value?.phase !== 'no-datum') push(samples)
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
