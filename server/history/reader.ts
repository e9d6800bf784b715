import type { Act } from '../messages/acts.ts'
import type { Bend } from '../messages/bends.ts'
import type { BendFilter } from '../messages/find.ts'
import type { Person } from '../messages/people.ts'
import { makeActsOn } from './act-log.ts'
import { connectReader } from './connect.ts'
import { naming } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import { exists, folderFiles, hasLog, isFile } from './folder.ts'
import type { RawRecord, Verified } from './history.ts'
import { peopleIn } from './people-log.ts'
import { bendsThatFit, makeLookups } from './reading.ts'
import { verifyNow } from './verify.ts'

/** A history opened to read, also while a daemon writes to it. */
export interface HistoryReader {
  /** Every bend that fits, oldest first, in constant memory. A bad filter is refused at once. */
  bends(filter: BendFilter): Iterable<Bend>
  /** What people did about a bend, oldest first; a file of an old schema has none. */
  actsOn(bendId: number): readonly Act[]
  raw(bendId: number): RawRecord | null
  /** Everybody who was ever enrolled; a file of an old schema has nobody. */
  people(): readonly Person[]
  /** How many are on record, and the hash of the last; empty where there is none. */
  newest(): { readonly records: number; readonly head: string }
  close(): void
}

/**
 * The history of a data folder; or the file itself that is named, such as a backup.
 *
 * @throws HistoryError `HISTORY_MISSING` if there is no such folder or no history in it; or what the disk says.
 */
export const historyFileIn = (dataDir: string): string =>
  naming(dataDir, () => {
    if (isFile(dataDir)) return dataDir
    const { history } = folderFiles(dataDir)
    if (!exists(history) && !hasLog(history))
      throw new HistoryError('HISTORY_MISSING', { at: dataDir })
    return history
  })

/** @throws HistoryError `HISTORY_MISSING`, `_CORRUPT`, `_FOREIGN`, `_NEWER`, `_DISK_FAULT`. */
export function openReader(dataDir: string): HistoryReader {
  const file = historyFileIn(dataDir)
  const db = connectReader(file)
  let made: ReturnType<typeof makeLookups> | null = null
  const lookups = () => {
    made ??= makeLookups(db)
    return made
  }
  function* namingEach(each: Iterator<Bend>): Generator<Bend> {
    const next = () => naming(file, () => each.next())
    for (let step = next(); !step.done; step = next()) yield step.value
  }
  return {
    bends: (filter) => namingEach(naming(file, () => bendsThatFit(db, filter))),
    actsOn: makeActsOn(db),
    raw: (bendId) => naming(file, () => lookups().raw(bendId)),
    people: () => naming(file, () => peopleIn(db)),
    newest: () =>
      naming(file, () => {
        const { count, bend } = lookups()
        const records = count()
        return { records, head: bend(records)?.hash ?? '' }
      }),
    close: () => void db.close(),
  }
}

const NO_HEAD = '0'.repeat(64)
const NO_LOG = { entries: 0, firstBroken: null, head: NO_HEAD } as const
const DAMAGED = {
  records: 0,
  intact: false,
  firstBroken: null,
  head: NO_HEAD,
  readout: NO_LOG,
  acts: NO_LOG,
  chains: NO_LOG,
  people: NO_LOG,
  exports: NO_LOG,
} as const

/**
 * Checks the history in a folder. A file too damaged to be opened is a finding, no error.
 *
 * @throws HistoryError `HISTORY_MISSING`, `_FOREIGN`, `_NEWER`, `_DISK_FAULT`.
 */
export function verifyFolder(dataDir: string, anchor?: string): Verified {
  const file = historyFileIn(dataDir)
  try {
    const db = connectReader(file)
    try {
      return naming(file, () => verifyNow(db, { anchor }))
    } finally {
      db.close()
    }
  } catch (error) {
    if (!(error instanceof HistoryError && error.code === 'HISTORY_CORRUPT')) throw error
    return { ...DAMAGED, why: error.message }
  }
}
