import { isoWithOffset } from '../history/iso-time.ts'
import type {
  Calibration,
  Check,
  ReadoutDoubt,
  ReferencePiece,
  SixPositions,
  Standing,
} from '../messages/readout.ts'

const MS_PER_DAY = 86_400_000

/** Since when a readout that failed its check was not known to be good, whatever piece it was held against. */
export function doubtOf(newestFirst: readonly Check[]): ReadoutDoubt | null {
  const good = newestFirst.findIndex(({ passed }) => passed)
  const firstFailed = newestFirst.at(good === -1 ? -1 : good - 1)
  if (good === 0 || firstFailed === undefined) return null
  return { goodAt: newestFirst[good]?.at ?? null, failedAt: firstFailed.at }
}

/** What is known of one sensor's readout: the newest of each. */
export interface KnownOfReadout {
  readonly calibration: Calibration | null
  /** Of an accelerometer's axes. */
  readonly axes: SixPositions | null
  readonly piece: ReferencePiece | null
  readonly check: Check | null
  readonly doubt: ReadoutDoubt | null
}

export interface ReadoutStanding {
  readonly standing: Standing
  /** One sentence when it is overdue or failed. */
  readonly why: string | null
  /** When the next check is due; null when it is now, at the next start, or never. */
  readonly dueAt: string | null
}

const overdue = (why: string): ReadoutStanding => ({ standing: 'overdue', why, dueAt: null })

function byAge(check: Check, everyDays: number, nowMs: number): ReadoutStanding {
  const atMs = Date.parse(check.at)
  const dueMs = atMs + everyDays * MS_PER_DAY
  if (!(nowMs >= atMs)) return overdue('The last check lies in the future: the clock was set back.')
  if (!(nowMs <= dueMs)) {
    const days = everyDays === 1 ? 'a day' : `${everyDays} days`
    return overdue(`The last check of the readout is more than ${days} old.`)
  }
  return { standing: 'good', why: null, dueAt: isoWithOffset(dueMs) }
}

/**
 * Whether the readout may be trusted by its last check. The log's numbers tell which came first, since a clock
 * may be set; only the age of a check is a matter of the clock.
 *
 * @param startedMs When the daemon was started.
 */
export function standingOf(
  { calibration, axes, piece, check }: Omit<KnownOfReadout, 'doubt'>,
  { nowMs, startedMs }: { readonly nowMs: number; readonly startedMs: number },
): ReadoutStanding {
  if (piece === null) return { standing: 'none', why: null, dueAt: null }
  if (check === null) return overdue('The readout was never checked with a reference piece.')
  if (!check.passed)
    return {
      standing: 'failed',
      why: `The readout was ${Math.abs(check.differenceDeg).toFixed(2)}° off its reference piece, more than ${check.limitDeg}°.`,
      dueAt: null,
    }
  if (Math.max(calibration?.id ?? 0, axes?.id ?? 0) > check.id)
    return overdue('The readout was calibrated after its last check.')
  if (piece.everyDays !== null) return byAge(check, piece.everyDays, nowMs)
  if (!(Date.parse(check.at) >= startedMs))
    return overdue('The readout was not checked since the start.')
  return { standing: 'good', why: null, dueAt: null }
}
