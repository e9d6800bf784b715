import { HistoryError } from '../history/errors.ts'
import type { History } from '../history/history.ts'
import type { Leaving, NewExport } from '../messages/exports.ts'
import type { BendFilter } from '../messages/find.ts'
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

/**
 * Makes what enters each export in its log. Reading goes on where the disk takes no entry: the entry then waits, with its
 * own time, until the next one is entered, and the daemon's log says so.
 */
export function makeExportDesk({ history, at, software, log }: Parts) {
  let waiting: NewExport[] = []

  const enterWaiting = () =>
    refusalOf(() => {
      while (waiting[0] !== undefined) {
        history.addExport(waiting[0])
        waiting = waiting.slice(1)
      }
    })

  /** Null: what cannot be counted cannot leave either. */
  function countOf(filter: BendFilter): number | null {
    let records: number | null = null
    refusalOf(() => {
      records = history.summary(filter).total
    })
    return records
  }

  return {
    left({ who, device, format, filter }: Leaving): void {
      const records = countOf(filter)
      if (records === null) return
      waiting.push({ schema: 1, at: at(), who, device, format, filter, records, software })
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
      const exports = waiting.map(({ at: askedAt, who, device, format, records }) => ({
        ...{ at: askedAt, who, device, format, records },
      }))
      log('Entries of the log of exports are lost: the disk did not take them before the end.', {
        why: refusal.message,
        exports,
      })
    },
  }
}
