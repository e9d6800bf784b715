import type { Go } from '../../server/messages/bends.ts'
import type { StationState } from '../../server/messages/live.ts'

interface Mark {
  readonly atS: number
  readonly deg: number
}

/** What is marked on a trace. Angles in degrees, times in seconds from the datum. */
export interface TraceMarks {
  readonly wantedDeg: number
  readonly toleranceDeg: number
  readonly commandedDeg: number | null
  readonly peak: Mark | null
  readonly released: Mark | null
}

/** Where a go went and where it came to rest. */
export function marksOfGo(go: Go | undefined): Pick<TraceMarks, 'peak' | 'released'> {
  if (!go) return { peak: null, released: null }
  const { releasedDeg, releasedAtS } = go
  return {
    peak: { atS: go.peakAtS, deg: go.peakDeg },
    released:
      releasedDeg === null || releasedAtS === null ? null : { atS: releasedAtS, deg: releasedDeg },
  }
}

/**
 * The marks of the trace on show. Until the next datum that is the trace of the bend before, so its
 * target is the one it was bent to, not the next one's.
 */
export function liveMarks(state: StationState, commandedDeg: number | null): TraceMarks {
  const { phase, result, job } = state
  const go = result?.go
  const toleranceDeg = job?.toleranceDeg ?? 0
  if (phase === 'no-datum' && go && go.releasedDeg !== null && result.errorDeg !== null)
    return {
      ...marksOfGo(go),
      wantedDeg: go.releasedDeg - result.errorDeg,
      toleranceDeg,
      commandedDeg: go.commandedDeg,
    }
  return { ...marksOfGo(go), wantedDeg: job?.wantedDeg ?? 0, toleranceDeg, commandedDeg }
}
