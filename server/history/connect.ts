import { accessSync, constants, mkdirSync, renameSync, rmSync, statSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import Database from 'better-sqlite3'
import { naming } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import { exists, folderFiles, hasLog, settle } from './folder.ts'
import { checkIdentity, migrate } from './schema.ts'

/** How long a write waits for another program that has the file, before it is refused. */
const BUSY_MS = 2000
/** The write-ahead log is cut back to this after a checkpoint: a long reader must not leave it huge. */
const LOG_BYTES_KEPT = 64 * 1024 * 1024
/** A record takes about 2.5 kB: pages of 8 KiB hold three, the usual 4 KiB only one. */
const PAGE_BYTES = 8192
/** `PRAGMA synchronous` read back: 2 is FULL. */
const SYNCHRONOUS_FULL = 2

/** Makes an empty history under another name first: a file of the right name is always a whole one. */
function create(dataDir: string): void {
  const { history, unfinished } = folderFiles(dataDir)
  rmSync(unfinished, { force: true })
  const db = new Database(unfinished)
  try {
    db.pragma(`page_size = ${PAGE_BYTES}`)
    db.pragma('synchronous = FULL')
    migrate(db)
  } finally {
    db.close()
  }
  renameSync(unfinished, history)
  settle(dataDir)
}

/** What SQLite would silently make a new database of, and what we never leave behind. */
function checkNotLost(file: string): void {
  const bytes = statSync(file, { throwIfNoEntry: false })?.size
  if (bytes === 0) throw new HistoryError('HISTORY_CORRUPT', { at: file, what: 'empty' })
  if (bytes === undefined && hasLog(file))
    throw new HistoryError('HISTORY_CORRUPT', { at: file, what: 'gone, only its log is left' })
}

/** SQLite fills up a last page that was cut in two, and reads zeros. A log may still complete it. */
function checkWholePages(db: Database.Database, file: string, hadLog: boolean): void {
  const pageBytes = Number(db.pragma('page_size', { simple: true }))
  if (!hadLog && statSync(file).size % pageBytes !== 0)
    throw new HistoryError('HISTORY_CORRUPT', { at: file, what: 'cut off in mid-page' })
}

function setDurable(db: Database.Database, file: string): void {
  const journal = db.pragma('journal_mode = WAL', { simple: true })
  db.pragma('synchronous = FULL')
  const synchronous = db.pragma('synchronous', { simple: true })
  // Read back: a file system without shared memory silently leaves the journal as it was.
  if (!(journal === 'wal' && synchronous === SYNCHRONOUS_FULL))
    throw new HistoryError('HISTORY_DISK_FAULT', { at: file, what: `journal ${journal}` })
  db.pragma('foreign_keys = ON')
  db.pragma(`journal_size_limit = ${LOG_BYTES_KEPT}`)
}

/** Checks a fresh connection, runs `set` on it, and closes it if either fails. */
function opened(file: string, options: Database.Options, set: (db: Database.Database) => void) {
  return naming(file, () => {
    const hadLog = hasLog(file)
    const db = new Database(file, { timeout: BUSY_MS, ...options })
    try {
      checkIdentity(db, file)
      checkWholePages(db, file, hadLog)
      set(db)
      return db
    } catch (error) {
      db.close()
      throw error
    }
  })
}

/**
 * Opens the one connection that writes; makes the history first where there is none. The caller holds the
 * folder's lock.
 *
 * @throws HistoryError `HISTORY_CORRUPT`, `_FOREIGN`, `_NEWER`, `_READ_ONLY`, `_DISK_FULL`, `_DISK_FAULT`.
 */
export function connectWriter(dataDir: string): Database.Database {
  const { history } = folderFiles(dataDir)
  naming(dataDir, () => {
    checkNotLost(history)
    if (!exists(history)) create(dataDir)
  })
  return opened(history, {}, (db) => {
    setDurable(db, history)
    migrate(db)
  })
}

/**
 * Opens a history file to read, also while a daemon writes to it.
 *
 * @throws HistoryError as `connectWriter`, and `HISTORY_MISSING`.
 */
export function connectReader(file: string): Database.Database {
  checkNotLost(file)
  if (!exists(file)) throw new HistoryError('HISTORY_MISSING', { at: file })
  return opened(file, { readonly: true, fileMustExist: true }, () => undefined)
}

const nearest = (path: string): string => (exists(path) ? path : nearest(dirname(path)))

/** Makes the data folder where there is none. */
export function makeFolder(dataDir: string): void {
  naming(dataDir, () => {
    // Asked first, since a recursive mkdir on a disk that cannot be written to only says "no such folder".
    accessSync(nearest(resolve(dataDir)), constants.W_OK)
    mkdirSync(dataDir, { recursive: true })
  })
}
