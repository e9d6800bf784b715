import { type Database, SqliteError } from 'better-sqlite3'
import { makeActLog } from './act-log.ts'
import { makeAppend } from './append.ts'
import { backUp } from './backup.ts'
import { makeChainLog } from './chain-log.ts'
import { connectWriter, makeFolder } from './connect.ts'
import { naming } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import { makeExportLog } from './export-log.ts'
import { BLOCK_BENDS } from './find/block.ts'
import { makeKeepBlocks } from './find/block-store.ts'
import { makeSearch } from './find/search.ts'
import { folderFiles, makeIsThere } from './folder.ts'
import type { History } from './history.ts'
import { lessonsIn } from './lessons.ts'
import { lockFolder } from './lock.ts'
import { makeNotes } from './notes.ts'
import { makePeopleLog } from './people-log.ts'
import { makePhotos } from './photos.ts'
import { makePlaceBends } from './place-bends.ts'
import { makeByHands, makeLookups } from './reading.ts'
import { makeReadoutLog } from './readout-log.ts'
import { makeSetups } from './setups.ts'
import { verifyNow, verifySteps } from './verify.ts'

export interface HistoryOptions {
  /** The wall clock, milliseconds since 1970: it dates set-ups, and days of a filter are counted back from it. */
  readonly wallMs?: () => number
  /** The file may not grow beyond so many pages of 8 KiB; then it is as if the disk were full. */
  readonly pagesMax?: number
  /** Told before each step while the index of a long history is made, once: how many bends are left to read. */
  readonly onIndexing?: (bendsLeft: number) => void
}

/** Makes what is kept for searching. A disk that does not take it is no matter: it is made in memory then. */
function makeKeep(db: Database, onIndexing: (bendsLeft: number) => void = () => undefined) {
  const keepBlocks = makeKeepBlocks(db)
  return () => {
    try {
      for (const bendsLeft of keepBlocks()) onIndexing(bendsLeft)
    } catch (error) {
      if (!(error instanceof SqliteError)) throw error
    }
  }
}

function connectAlone(dataDir: string, { pagesMax }: HistoryOptions) {
  makeFolder(dataDir)
  const release = lockFolder(dataDir)
  try {
    const db = connectWriter(dataDir)
    if (pagesMax !== undefined) db.pragma(`max_page_count = ${pagesMax}`)
    return { db, release }
  } catch (error) {
    release()
    throw error
  }
}

/** How every call goes: none on a closed history, and each failure with its code. */
function makeGuards(db: Database, file: string) {
  function checkOpen(): void {
    if (!db.open) throw new HistoryError('HISTORY_CLOSED', { at: file })
  }

  const guarded =
    <A extends unknown[], R>(work: (...args: A) => R) =>
    (...args: A): R => {
      checkOpen()
      return naming(file, () => work(...args))
    }

  const isThere = makeIsThere(file)
  /** Where something is recorded: never into a file that nobody will find again. */
  const recording = <A extends unknown[], R>(work: (...args: A) => R) =>
    guarded((...args: A): R => {
      if (!isThere()) throw new HistoryError('HISTORY_TAKEN_AWAY', { at: file })
      return work(...args)
    })

  /** The same for each call of a group. */
  const each =
    (way: typeof guarded) =>
    <T extends Record<string, (...args: never[]) => unknown>>(group: T): T =>
      Object.fromEntries(Object.entries(group).map(([name, work]) => [name, way(work)])) as T

  return {
    ...{ checkOpen, guarded, recording },
    ...{ guardedAll: each(guarded), recordingAll: each(recording) },
    guardedSteps: <T>(steps: Iterator<void, T>): Iterator<void, T> => ({
      next: guarded(() => steps.next()),
    }),
    *guardedEach<T>(values: Iterator<T>): Generator<T> {
      const next = guarded(() => values.next())
      for (let step = next(); !step.done; step = next()) yield step.value
    },
  }
}

/**
 * Opens the history in a data folder for this process alone, and makes both where they are missing.
 * After a call that failed the history is as it was before that call, and usable.
 *
 * @throws HistoryError `HISTORY_IN_USE`, `_CORRUPT`, `_FOREIGN`, `_NEWER`, `_READ_ONLY`, `_DISK_FULL`,
 *   `_DISK_FAULT`.
 */
export function openHistory(dataDir: string, options: HistoryOptions = {}): History {
  const { db, release } = connectAlone(dataDir, options)
  const { history: file } = folderFiles(dataDir)

  const guards = makeGuards(db, file)
  const { checkOpen, guarded, recording, guardedAll, recordingAll } = guards
  const { guardedSteps, guardedEach } = guards

  const lookups = makeLookups(db)
  const search = makeSearch(db, options.wallMs)
  const append = makeAppend(db)
  const keep = makeKeep(db, options.onIndexing)
  keep()
  return {
    append: recording((bend, raw, otherIsOpen, station) => {
      const recorded = append(bend, raw, otherIsOpen, station)
      if (recorded.id % BLOCK_BENDS === 0) keep()
      return recorded
    }),
    ...guardedAll(search),
    selectionSteps: guarded((filter) => guardedSteps(search.selectionSteps(filter))),
    exported: guarded((filter, format) => guardedEach(search.exported(filter, format))),
    ...guardedAll({ bend: lookups.bend, raw: lookups.raw, count: lookups.count }),
    lessons: guarded(() => guardedEach(lessonsIn(db))),
    placeBends: guarded(makePlaceBends(db)),
    bendsByHands: guarded(makeByHands(db)),
    together: <T>(work: () => T): T => recording(() => db.transaction(work).immediate())(),
    ...recordingAll(makeNotes(db)),
    ...recordingAll(makeSetups(db, options.wallMs ?? Date.now)),
    ...recordingAll(makeReadoutLog(db)),
    ...recordingAll(makeActLog(db)),
    ...recordingAll(makePhotos(db)),
    ...recordingAll(makeChainLog(db)),
    ...recordingAll({ ...makePeopleLog(db), ...makeExportLog(db) }),
    verifySteps: guarded((anchor?: string) =>
      guardedSteps(verifySteps(db, { anchor, isChainOnly: true })),
    ),
    verify: guarded((anchor?: string) => verifyNow(db, { anchor })),
    async backup(toFile, mayReplace = false) {
      checkOpen()
      return await backUp(dataDir, toFile, { mayReplace })
    },
    close() {
      db.close()
      release()
    },
  }
}
