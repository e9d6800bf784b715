import { HistoryError } from '../history/errors.ts'
import type { History, RawRecord } from '../history/history.ts'
import type { Bend, NewBend } from '../messages/bends.ts'

/** Bends that wait when the disk refuses them: a long shift. Beyond it the oldest would be lost, so we say so. */
const WAITING_MAX = 500
const RETRY_S = 5

interface Waiting {
  readonly append: History['append']
  /** Whether another bend is being made by now: what is saved late must not end it. */
  readonly isBendOpen: () => boolean
  readonly bend: NewBend
  readonly raw: RawRecord
  readonly saved: (bend: Bend) => void
}

export interface SaveQueue {
  /** Saves now if it can; else keeps the bend, in order, and tries again. `saved` is called once durable. */
  save(bend: NewBend, raw: RawRecord, saved: (bend: Bend) => void): void
  /** Tries again what waits, every few seconds. */
  retry(nowS: number): void
  /** The same at once. */
  flush(): void
  waiting(): number
  /** What the disk last refused, as a sentence; null when all is saved. */
  trouble(): string | null
  lost(): number
}

/** No disk will ever take it: kept, it would hold up every bend behind it. */
const isRefusedForGood = (error: unknown) =>
  error instanceof HistoryError &&
  (error.code === 'HISTORY_BAD_BEND' || error.code === 'HISTORY_BAD_RAW')

/** One queue for all benders of a daemon: their bends go on record in the order in which they were made. */
export interface SaveQueues {
  /** The queue for one bender, over its own view of the history. */
  at(history: Pick<History, 'append'>, isBendOpen?: () => boolean): SaveQueue
}

/** The queue of a bender that is alone. */
export const makeSaveQueue = (
  history: Pick<History, 'append'>,
  isBendOpen?: () => boolean,
): SaveQueue => makeSaveQueues().at(history, isBendOpen)

/** Bends go to the history in the order they were made; none overtakes one that waits. */
export function makeSaveQueues(): SaveQueues {
  const queue: Waiting[] = []
  let trouble: string | null = null
  let triedS = Number.NEGATIVE_INFINITY
  let lost = 0

  function drain(): void {
    for (let next = queue[0]; next !== undefined; next = queue[0]) {
      let bend: Bend
      try {
        bend = next.append(next.bend, next.raw, next.isBendOpen())
      } catch (error) {
        trouble = error instanceof Error ? error.message : String(error)
        if (!isRefusedForGood(error)) return
        if (next.raw.lines.length > 0) {
          // The angles are worth more than the lines behind them.
          queue[0] = { ...next, raw: { chain: '', snapshot: '', lines: [] } }
          continue
        }
        queue.shift()
        lost++
        continue
      }
      queue.shift()
      next.saved(bend)
    }
    trouble = null
  }

  function put(next: Waiting): void {
    queue.push(next)
    if (queue.length > WAITING_MAX) {
      queue.shift()
      lost++
    }
    drain()
  }

  const shared = {
    retry(nowS: number) {
      if (queue.length === 0 || !(nowS - triedS >= RETRY_S)) return
      triedS = nowS
      drain()
    },
    flush: drain,
    waiting: () => queue.length,
    trouble: () => trouble,
    lost: () => lost,
  }
  return {
    at: (history, isBendOpen = () => false) => ({
      ...shared,
      save: (bend, raw, saved) => put({ append: history.append, isBendOpen, bend, raw, saved }),
    }),
  }
}
