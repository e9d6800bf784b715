import { accessSync, constants } from 'node:fs'
import { dirname } from 'node:path'
import { type HistoryCode, HistoryError } from './errors.ts'
import { exists } from './folder.ts'

/** Result codes of SQLite and error names of the operating system, the most particular first. */
const MEANINGS: readonly (readonly [RegExp, HistoryCode])[] = [
  [/^SQLITE_NOTADB/, 'HISTORY_FOREIGN'],
  [/^SQLITE_CORRUPT/, 'HISTORY_CORRUPT'],
  [/^SQLITE_(BUSY|LOCKED)/, 'HISTORY_BUSY'],
  // The index of the write-ahead log could not be made larger: in practice there is no room for it.
  [/^(SQLITE_FULL|SQLITE_IOERR_SHMSIZE|ENOSPC|EDQUOT)/, 'HISTORY_DISK_FULL'],
  [/^(SQLITE_READONLY|SQLITE_PERM|EROFS|EACCES|EPERM)/, 'HISTORY_READ_ONLY'],
  [/^(ENOENT|ENOTDIR|EISDIR|EEXIST|ENAMETOOLONG|ELOOP)$/, 'HISTORY_BAD_PATH'],
  [/^(SQLITE_|E[A-Z0-9]+$)/, 'HISTORY_DISK_FAULT'],
]

export function isWritable(path: string): boolean {
  try {
    accessSync(path, constants.W_OK)
    return true
  } catch {
    return false
  }
}

/** "Cannot open" says too little: look at the folder and the file to learn why. */
function whyNotOpened(file: string): HistoryCode {
  if (!isWritable(dirname(file)) || (exists(file) && !isWritable(file))) return 'HISTORY_READ_ONLY'
  return 'HISTORY_DISK_FAULT'
}

function codeOf(error: unknown): string | null {
  const code = error instanceof Error && 'code' in error ? error.code : null
  return typeof code === 'string' ? code : null
}

/** The database found its file damaged. */
export const isDamage = (error: unknown): boolean =>
  /^SQLITE_(CORRUPT|NOTADB)/.test(codeOf(error) ?? '')

/** A write that never ended must be undone first, by one who may write. */
export const isToRollBack = (error: unknown): boolean =>
  error instanceof HistoryError && codeOf(error.cause) === 'SQLITE_READONLY_ROLLBACK'

/**
 * What the disk or the database said, as a `HistoryError` about `at`. A mistake of the program has no
 * such code and is handed back as it is.
 */
export function asHistoryError(error: unknown, at: string): unknown {
  if (error instanceof HistoryError) return error
  const code = codeOf(error)
  if (code === null) return error
  const meaning = code.startsWith('SQLITE_CANTOPEN')
    ? whyNotOpened(at)
    : MEANINGS.find(([pattern]) => pattern.test(code))?.[1]
  if (meaning === undefined) return error
  return new HistoryError(meaning, { at, what: code }, error)
}

/** Runs `work` and names what goes wrong with the file or folder `at`. */
export function naming<T>(at: string, work: () => T): T {
  try {
    return work()
  } catch (error) {
    throw asHistoryError(error, at)
  }
}

/** The same for work that takes its time. */
export async function namingAsync<T>(at: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    throw asHistoryError(error, at)
  }
}
