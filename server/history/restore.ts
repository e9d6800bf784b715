import { chmodSync, constants, copyFileSync, linkSync, mkdirSync, renameSync } from 'node:fs'
import { join } from 'node:path'
import { type Copied, proveIntact } from './backup.ts'
import { type AtStep, checkWholeFile, copyChecked, copyToKeep } from './checked-copy.ts'
import { connectWriter, makeFolder, prepareForWriting } from './connect.ts'
import { namingAsync } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import {
  exists,
  folderFiles,
  hasLog,
  removeSideFiles,
  removeWithSideFiles,
  settle,
  sideFiles,
} from './folder.ts'
import { isoWithOffset } from './iso-time.ts'
import { lockFolder } from './lock.ts'
import { partialOf } from './target.ts'

export interface Restored extends Copied {
  /** Where the history that was there before is kept now; null if there was none. */
  readonly keptAside: string | null
  /** What was found in it; null if it was not intact, or is not there. It is kept as it was in either case. */
  readonly asideChecked: Copied | null
}

interface RestoreOptions {
  readonly mayReplace?: boolean
  readonly wallMs?: () => number
  readonly atStep?: AtStep
}

/** Brings the log into the old file if that can still be done: whether the file alone is the history now. */
function foldLog(dataDir: string): boolean {
  const { history } = folderFiles(dataDir)
  try {
    const db = connectWriter(dataDir)
    // One who reads just now needs the log: then nothing is moved, and whoever it is is to be waited for.
    const [outcome] = db.pragma('wal_checkpoint(TRUNCATE)') as { busy: number }[]
    db.close()
    if (outcome?.busy !== 0) throw new HistoryError('HISTORY_BUSY', { at: history })
    return true
  } catch (error) {
    // A damaged history is just what one restores over: it is kept aside as it is.
    const code = error instanceof HistoryError ? error.code : null
    if (code !== 'HISTORY_CORRUPT' && code !== 'HISTORY_FOREIGN' && code !== 'HISTORY_NEWER')
      throw error
    return false
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

/** What stands in the log and in the journal of a damaged history stays beside it. */
function sidesAlong(file: string, aside: string): void {
  const [log, , journal] = sideFiles(file)
  const [asideLog, , asideJournal] = sideFiles(aside)
  if (exists(log)) renameSync(log, asideLog)
  if (exists(journal)) renameSync(journal, asideJournal)
}

async function checkedOrNull(file: string): Promise<Copied | null> {
  try {
    return await proveIntact(file, file)
  } catch (error) {
    if (error instanceof HistoryError) return null
    throw error
  }
}

/** Gives the old history a second name; its own name it keeps until the new one takes it. */
async function keepAside(
  dataDir: string,
  wallMs: number,
): Promise<Pick<Restored, 'keptAside' | 'asideChecked'>> {
  const { history } = folderFiles(dataDir)
  const stamp = isoWithOffset(wallMs).replace(/[:.]/g, '-')
  const aside = join(dataDir, `overbend-replaced-${stamp}.sqlite`)
  const isAlone = foldLog(dataDir)
  const asideChecked = isAlone ? await checkedOrNull(history) : null
  if (exists(history)) alsoKnownAs(history, aside)
  if (!isAlone) sidesAlong(history, aside)
  // What is left belongs to the old file; a reader that still has it open keeps it.
  removeSideFiles(history)
  settle(dataDir)
  return { keptAside: aside, asideChecked }
}

const hasHistory = (dataDir: string) => {
  const { history } = folderFiles(dataDir)
  return exists(history) || hasLog(history)
}

async function putInPlace(dataDir: string, file: string, options: RestoreOptions) {
  const { mayReplace = false, wallMs = Date.now, atStep = () => undefined } = options
  const { history, unfinished } = folderFiles(dataDir)
  const isReplacing = hasHistory(dataDir)
  if (isReplacing && !mayReplace) throw new HistoryError('HISTORY_EXISTS', { at: history })
  try {
    const copied = await copyChecked(file, unfinished, atStep)
    prepareForWriting(unfinished)
    const none = { keptAside: null, asideChecked: null }
    const aside = isReplacing ? await keepAside(dataDir, wallMs()) : none
    atStep('set aside')
    renameSync(unfinished, history)
    atStep('renamed')
    settle(dataDir)
    return { ...copied, ...aside }
  } finally {
    removeWithSideFiles(unfinished)
  }
}

/**
 * Puts a backup in the place of a data folder's history. What is checked is the copy that is then used, byte for byte
 * the backup; only its mark that it is recorded to is set afterwards.
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

/** Letters, digits and a few signs: no name that leads out of the folder, or that a file system dislikes. */
const PLAIN_NAME = /^[A-Za-z0-9][A-Za-z0-9._-]{0,59}$/
const READ_ONLY = 0o444

/**
 * Puts a backup into a data folder beside the history that is there, which goes on as it is, also while a daemon
 * records to it. Nothing is ever merged: two chains stay two files, each verified by itself.
 *
 * @throws HistoryError `HISTORY_BAD_PATH` for the name, `HISTORY_TAKEN`, and as `restoreHistory`.
 */
export async function restoreBeside(
  dataDir: string,
  file: string,
  name: string,
): Promise<Copied & { readonly file: string }> {
  if (!PLAIN_NAME.test(name))
    throw new HistoryError('HISTORY_BAD_PATH', { at: `The name "${name}"`, what: 'no plain name' })
  checkWholeFile(file)
  const { beside } = folderFiles(dataDir)
  const target = join(beside, `${name}.sqlite`)
  const partial = partialOf(target)
  return await namingAsync(target, async () => {
    makeFolder(dataDir)
    mkdirSync(beside, { recursive: true })
    try {
      const copied = await copyToKeep(file, partial)
      if (exists(target) || hasLog(target)) throw new HistoryError('HISTORY_TAKEN', { at: target })
      chmodSync(partial, READ_ONLY)
      renameSync(partial, target)
      settle(beside)
      return { ...copied, file: target }
    } finally {
      removeWithSideFiles(partial)
    }
  })
}
