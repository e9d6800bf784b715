import type { Go } from '../../server/messages/bends.ts'
import type { StationState } from '../../server/messages/live.ts'

interface Mark {
  readonly atS: number
  readonly deg: number
}

/** While it stood still: the angle that was taken from there. */
interface Plateau {
  readonly fromS: number
  readonly toS: number
  readonly deg: number
}

/** What is marked of one go. Angles in degrees, times in seconds from the datum. */
export interface GoMarks {
  /** Where the die was when the stop was called. */
  readonly cue: Mark | null
  readonly peak: Mark
  readonly released: Mark | null
  readonly plateau: Plateau | null
}

/** What is marked on a trace. */
export interface TraceMarks {
  readonly wantedDeg: number
  readonly toleranceDeg: number
  readonly commandedDeg: number | null
  /** In their order. */
  readonly goes: readonly GoMarks[]
}

/** A trace as it is drawn. */
export interface TracePoints {
  readonly tS: readonly number[]
  readonly angleDeg: readonly number[]
}

/** On a trace, what is further off than this stands no more. Of the drawing only: the record has its own plateau. */
const STANDS_DEG = 0.25

/** When the die passed an angle on its way up to a peak, not before `afterS`. */
function passing({ tS, angleDeg }: TracePoints, deg: number, peakAtS: number, afterS: number) {
  for (const [place, atS] of tS.entries()) {
    if (atS > peakAtS) return null
    if (atS >= afterS && (angleDeg[place] ?? Number.NaN) >= deg) return atS
  }
  return null
}

function plateauFrom({ tS, angleDeg }: TracePoints, { atS, deg }: Mark): Plateau | null {
  const first = tS.findIndex((at) => at >= atS)
  if (first < 0) return null
  const left = angleDeg.findIndex(
    (angle, place) => place > first && Math.abs(angle - deg) > STANDS_DEG,
  )
  const toS = tS[left < 0 ? tS.length - 1 : left - 1] ?? atS
  return toS > atS ? { fromS: atS, toS, deg } : null
}

/**
 * Where each go went, where the stop was called, and where it came to rest.
 *
 * @param points The trace that it is drawn on; where there is none yet, what is read off it is left out.
 */
export function marksOfGoes(goes: readonly Go[], points: TracePoints | null = null): GoMarks[] {
  let afterS = 0
  return goes.map((go) => {
    const { cueDeg, peakDeg, peakAtS, releasedDeg, releasedAtS } = go
    const isRead = releasedDeg !== null && releasedAtS !== null
    const released = isRead ? { atS: releasedAtS, deg: releasedDeg } : null
    const calledS = points && cueDeg !== null ? passing(points, cueDeg, peakAtS, afterS) : null
    afterS = releasedAtS ?? peakAtS
    return {
      cue: calledS === null || cueDeg === null ? null : { atS: calledS, deg: cueDeg },
      peak: { atS: peakAtS, deg: peakDeg },
      released,
      plateau: points && released ? plateauFrom(points, released) : null,
    }
  })
}

/**
 * The marks of the trace on show. Until the next datum that is the trace of the bend before, so its
 * target is the one it was bent to, not the next one's.
 */
export function liveMarks(state: StationState, commandedDeg: number | null): TraceMarks {
  const { phase, result, job } = state
  const go = result?.go
  const goes = marksOfGoes(go ? [go] : [])
  const toleranceDeg = job?.toleranceDeg ?? 0
  if (phase === 'no-datum' && go && go.releasedDeg !== null && result.errorDeg !== null)
    return {
      goes,
      wantedDeg: go.releasedDeg - result.errorDeg,
      toleranceDeg,
      commandedDeg: go.commandedDeg,
    }
  return { goes, wantedDeg: job?.wantedDeg ?? 0, toleranceDeg, commandedDeg }
}
