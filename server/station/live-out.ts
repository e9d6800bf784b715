import type { LiveRun } from '../blocks/live-feed.ts'
import type { LiveMessage, Samples, StationState } from '../messages/live.ts'

/** Points of the trace a page gets when it opens in mid-bend: one every 20 ms for two minutes. */
const TRACE_POINTS_MAX = 6000
const TRACE_STEP_S = 0.02

type Listener = (message: LiveMessage) => void

/** Everything that goes out to the pages: samples at once, the state when it has changed. */
export function makeLiveOut(state: () => StationState) {
  const listeners = new Set<Listener>()
  let tS: number[] = []
  let angleDeg: number[] = []
  let lastTraceS = Number.NEGATIVE_INFINITY
  let stepS = TRACE_STEP_S

  const tell = (message: LiveMessage) => {
    for (const listener of listeners) listener(message)
  }

  /** However long the bend takes, the whole of it is kept: half as finely each time there is no more room. */
  function coarsen(): void {
    tS = tS.filter((_, place) => place % 2 === 0)
    angleDeg = angleDeg.filter((_, place) => place % 2 === 0)
    stepS *= 2
  }

  function keepTrace(batch: LiveRun): void {
    for (const [index, timeS] of batch.timeS.entries()) {
      if (!(timeS - lastTraceS >= stepS)) continue
      if (tS.length >= TRACE_POINTS_MAX) coarsen()
      lastTraceS = timeS
      tS.push(timeS)
      angleDeg.push(batch.angleDeg[index] ?? 0)
    }
  }

  return {
    subscribe(listener: Listener): () => void {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    samples(batch: LiveRun): void {
      keepTrace(batch)
      if (listeners.size === 0 || batch.timeS.length === 0) return
      const message: Samples = {
        type: 'samples',
        tS: batch.timeS,
        angleDeg: batch.angleDeg,
        rateDegPerS: batch.rateDegPerS,
        quality: batch.quality,
        cue: batch.cue,
        omitted: 0,
      }
      tell(message)
    },
    changed(): void {
      if (listeners.size > 0) tell({ type: 'state', state: state() })
    },
    newTrace(): void {
      tS = []
      angleDeg = []
      lastTraceS = Number.NEGATIVE_INFINITY
      stepS = TRACE_STEP_S
    },
    trace: () => ({ tS: [...tS], angleDeg: [...angleDeg] }),
  }
}
