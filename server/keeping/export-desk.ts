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

/**
 * Makes what enters each export in its log. Reading goes on where the disk takes no entry: the entry then waits, with its
 * own time, until the next one is entered, and the daemon's log says so.
 */
export function makeExportDesk({ history, at, software, log }: Parts) {
  let waiting: NewExport[] = []

  function enterWaiting(): void {
    while (waiting[0] !== undefined) {
      history.addExport(waiting[0])
      waiting = waiting.slice(1)
    }
  }

  return function left({ who, device, format, filter }: Leaving): void {
    const entry = { schema: 1, at: at(), who, device, format, filter, software } as const
    try {
      // What cannot be counted cannot leave either: there is nothing to enter then.
      const { total: records } = history.summary(filter)
      waiting.push({ ...entry, records })
      enterWaiting()
    } catch (error) {
      if (!(error instanceof HistoryError)) throw error
      const lost = waiting.slice(0, -WAITING_MAX)
      waiting = waiting.slice(-WAITING_MAX)
      const facts = { format, waiting: waiting.length, lost: lost.length, why: error.message }
      log('An export could not be entered in its log; it waits for the next one.', facts)
    }
  }
}
