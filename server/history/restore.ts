import { constants, copyFileSync, linkSync, renameSync, rmSync } from 'node:fs'
import { copyFile } from 'node:fs/promises'
import { join } from 'node:path'
import { type Copied, proveIntact, removeWithSideFiles } from './backup.ts'
import { connectWriter, makeFolder } from './connect.ts'
import { namingAsync } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import { exists, folderFiles, hasLog, settle, sideFiles } from './folder.ts'
import { isoWithOffset } from './iso-time.ts'
import { lockFolder } from './lock.ts'

export interface Restored extends Copied {
  /** Where the history that was there before is kept now; null if there was none. */
  readonly keptAside: string | null
}

interface RestoreOptions {
  readonly mayReplace?: boolean
  readonly wallMs?: () => number
}

/** A live file copied by hand lacks what stood in its log. */
function checkWholeFile(file: string): void {
  if (!exists(file)) throw new HistoryError('HISTORY_MISSING', { at: file })
  if (hasLog(file))
    throw new HistoryError('HISTORY_NOT_INTACT', {
      at: file,
      what: 'it has a log beside it: make the copy with overbend backup.',
    })
}

/** Brings the log into the old file if that can still be done, so that the file alone is the history. */
function foldLog(dataDir: string): void {
  try {
    connectWriter(dataDir).close()
  } catch (error) {
    // A damaged history is just what one restores over: it is kept aside as it is.
    const code = error instanceof HistoryError ? error.code : null
    if (code !== 'HISTORY_CORRUPT' && code !== 'HISTORY_FOREIGN' && code !== 'HISTORY_NEWER')
      throw error
  }
}

function alsoKnownAs(file: string, aside: string): void {
  try {
    linkSync(file, aside)
  } catch {
    // Some file systems have no second names.
    copyFileSync(file, aside, constants.COPYFILE_EXCL)
    settle(aside)
  }
}

/** Gives the old history a second name; its own name it keeps until the new one takes it. */
function keepAside(dataDir: string, wallMs: number): string {
  const { history } = folderFiles(dataDir)
  const stamp = isoWithOffset(wallMs).replace(/[:.]/g, '-')
  const aside = join(dataDir, `overbend-replaced-${stamp}.sqlite`)
  foldLog(dataDir)
  if (exists(history)) alsoKnownAs(history, aside)
  const [log, index] = sideFiles(history)
  if (hasLog(history)) renameSync(log, `${aside}-wal`)
  // What is left belongs to the old file; a reader that still has it open keeps it.
  for (const side of [log, index]) rmSync(side, { force: true })
  settle(dataDir)
  return aside
}

const hasHistory = (dataDir: string) => {
  const { history } = folderFiles(dataDir)
  return exists(history) || hasLog(history)
}

async function putInPlace(dataDir: string, file: string, options: RestoreOptions) {
  const { mayReplace = false, wallMs = Date.now } = options
  const { history, unfinished } = folderFiles(dataDir)
  const isReplacing = hasHistory(dataDir)
  if (isReplacing && !mayReplace) throw new HistoryError('HISTORY_EXISTS', { at: history })
  try {
    removeWithSideFiles(unfinished)
    await copyFile(file, unfinished)
    settle(unfinished)
    const copied = await proveIntact(unfinished, file)
    for (const side of sideFiles(unfinished)) rmSync(side, { force: true })
    const keptAside = isReplacing ? keepAside(dataDir, wallMs()) : null
    renameSync(unfinished, history)
    settle(dataDir)
    return { ...copied, keptAside }
  } finally {
    removeWithSideFiles(unfinished)
  }
}

/**
 * Puts a backup in the place of a data folder's history. What is checked is the copy that is then used.
 * All or nothing: until the one renaming at the end the old history is in force, after it the new one.
 *
 * @throws HistoryError `HISTORY_IN_USE`, `_EXISTS`, `_NOT_INTACT`, `_FOREIGN`, `_NEWER`, `_CORRUPT`,
 *   `_MISSING`, or what the disk says.
 */
export async function restoreHistory(
  dataDir: string,
  file: string,
  options: RestoreOptions = {},
): Promise<Restored> {
  checkWholeFile(file)
  makeFolder(dataDir)
  const release = lockFolder(dataDir)
  try {
    return await namingAsync(dataDir, () => putInPlace(dataDir, file, options))
  } finally {
    release()
  }
}
