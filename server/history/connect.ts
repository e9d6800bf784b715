import { accessSync, constants, mkdirSync, renameSync, statSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import Database from 'better-sqlite3'
import { isToRollBack, isWritable, naming } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import { fileHead } from './file-head.ts'
import { exists, folderFiles, hasLog, removeWithSideFiles, settle } from './folder.ts'
import { checkIdentity, migrate } from './schema.ts'

/** How long a write waits for another program that has the file, before it is refused. */
const BUSY_MS = 2000
/** The write-ahead log is cut back to this after a checkpoint: a long reader must not leave it huge. */
const LOG_BYTES_KEPT = 64 * 1024 * 1024
/** A record takes about 2.5 kB: pages of 8 KiB hold three, the usual 4 KiB only one. */
const PAGE_BYTES = 8192
/** `PRAGMA synchronous` read back: 2 is FULL. */
const SYNCHRONOUS_FULL = 2

/**
 * Has every later write go to a log beside the file, also by those who open it after this connection. The change
 * itself goes by a journal, which only one who may write can undo: a file that readers may meet has it behind it.
 */
function enterWal(db: Database.Database, file: string): void {
  const journal = db.pragma('journal_mode = WAL', { simple: true })
  // Read back: a file system without shared memory silently leaves the journal as it was.
  if (journal !== 'wal')
    throw new HistoryError('HISTORY_DISK_FAULT', { at: file, what: `journal ${journal}` })
}

/** The same for a file that nobody has open, such as a backup that is to become the history. */
export function prepareForWriting(file: string): void {
  naming(file, () => {
    const db = new Database(file)
    try {
      enterWal(db, file)
    } finally {
      db.close()
    }
    settle(file)
  })
}

/** Makes an empty history under another name first: a file of the right name is always a whole one. */
function create(dataDir: string): void {
  const { history, unfinished } = folderFiles(dataDir)
  removeWithSideFiles(unfinished)
  const db = new Database(unfinished)
  try {
    db.pragma(`page_size = ${PAGE_BYTES}`)
    db.pragma('synchronous = FULL')
    migrate(db)
    enterWal(db, history)
  } finally {
    db.close()
  }
  settle(unfinished)
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
  enterWal(db, file)
  db.pragma('synchronous = FULL')
  const synchronous = db.pragma('synchronous', { simple: true })
  if (synchronous !== SYNCHRONOUS_FULL)
    throw new HistoryError('HISTORY_DISK_FAULT', { at: file, what: `synchronous ${synchronous}` })
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

/** Whoever wrote last died of it, and left a journal: the first who may write brings back what was there before. */
function rollBack(file: string): void {
  const db = new Database(file, { timeout: BUSY_MS, fileMustExist: true })
  try {
    db.pragma('user_version')
  } finally {
    db.close()
  }
}

/**
 * Opens a history file to read, also while a daemon writes to it. Nothing is written, but for a write that never
 * ended, which is undone.
 *
 * @throws HistoryError as `connectWriter`, and `HISTORY_MISSING`.
 */
export function connectReader(file: string): Database.Database {
  checkNotLost(file)
  if (!exists(file)) throw new HistoryError('HISTORY_MISSING', { at: file })
  const open = () => opened(file, { readonly: true, fileMustExist: true }, () => undefined)
  try {
    return open()
  } catch (error) {
    const mayUndo = isWritable(dirname(file)) && isWritable(file) && fileHead(file)?.isOurs
    if (!(isToRollBack(error) && mayUndo)) throw error
    naming(file, () => rollBack(file))
    return open()
  }
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
