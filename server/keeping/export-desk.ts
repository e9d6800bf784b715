import { HistoryError } from '../history/errors.ts'
import type { History } from '../history/history.ts'
import type { Leaving, NewExport } from '../messages/exports.ts'
import type { Log } from './backup-rounds.ts'

/** Entries that wait for a disk which took none; beyond that the oldest are told of and given up. */
const WAITING_MAX = 200

interface Parts {
  readonly history: Pick<History, 'addExport' | 'summary'>
  /** The wall clock, with its offset. */
  readonly at: () => string
  readonly software: string
  readonly log: Log
}

/** What the history refuses to do, as the error that says so; null: it did it. Anything else is thrown on. */
function refusalOf(work: () => void): HistoryError | null {
  try {
    work()
    return null
  } catch (error) {
    if (error instanceof HistoryError) return error
    throw error
  }
}

/** What an entry says, for the daemon's own log. */
const told = ({ at, who, device, format, records }: NewExport) => ({
  ...{ at, who, device, format, records },
})

/**
 * Makes what enters each export in its log. Reading goes on where the disk takes no entry: the entry then waits, with its
 * own time, until the next one is entered, and the daemon's log says so.
 */
export function makeExportDesk({ history, at, software, log }: Parts) {
  let waiting: NewExport[] = []

  /** The first refusal of the disk. What no disk would change is told of and given up. */
  function enterWaiting(): HistoryError | null {
    for (let entry = waiting[0]; entry !== undefined; entry = waiting[0]) {
      const refusal = refusalOf(() => void history.addExport(entry))
      if (refusal !== null && refusal.remedy !== 'caller') return refusal
      if (refusal !== null)
        log('An export cannot be entered in its log.', { ...told(entry), why: refusal.message })
      waiting = waiting.slice(1)
    }
    return null
  }

  return {
    left({ who, device, format, filter }: Leaving): void {
      let records = 0
      const uncounted = refusalOf(() => {
        records = history.summary(filter).total
      })
      if (uncounted?.code === 'HISTORY_BAD_QUERY') return
      const entry = { schema: 1, at: at(), who, device, format, filter, records, software } as const
      if (uncounted !== null) {
        const sentence =
          'An export was not entered in its log, since its bends could not be counted.'
        log(sentence, { ...told(entry), records: null, why: uncounted.message })
        return
      }
      waiting.push(entry)
      const refusal = enterWaiting()
      if (refusal === null) return
      const lost = waiting.slice(0, -WAITING_MAX)
      waiting = waiting.slice(-WAITING_MAX)
      const facts = { format, waiting: waiting.length, lost: lost.length, why: refusal.message }
      log('An export could not be entered in its log; it waits for the next one.', facts)
    },
    /** A last try for what still waits, before the history is closed. */
    close(): void {
      const refusal = enterWaiting()
      if (refusal === null) return
      log('Entries of the log of exports are lost: the disk did not take them before the end.', {
        why: refusal.message,
        exports: waiting.map(told),
      })
    },
  }
}
