import { realpathSync, statSync } from 'node:fs'
import { basename, dirname, join, resolve } from 'node:path'
import { naming } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import { fileHead } from './file-head.ts'
import { exists, folderFiles, hasLog, isFile, sideFiles } from './folder.ts'

/** The path without any detour by a link; the file itself need not be there. */
const straight = (file: string) => join(realpathSync(dirname(resolve(file))), basename(file))

const WRITABLE = 0o222

/** Whether the file is one of those that a data folder holds. */
function isOfFolder(target: string, dataDir: string): boolean {
  const own = isFile(dataDir) ? [dataDir] : Object.values(folderFiles(dataDir))
  return own.flatMap((each) => [each, ...sideFiles(each)]).includes(target)
}

/** Why a file is never written over, whatever is asked; null: it may be. */
function whyKept(target: string, dataDir: string, { isCopy }: { isCopy: boolean }): string | null {
  const folder = dirname(target)
  const isOfOther = exists(folderFiles(folder).lock) && isOfFolder(target, folder)
  if (isOfFolder(target, dataDir) || isOfOther) return 'is part of a bend history'
  // Whoever opened what takes its name would take the log for its own.
  if (hasLog(target)) return 'has the log of another file beside it'
  const head = fileHead(target)
  if (head?.isOurs && head.isRecordedTo) return 'is a bend history that is recorded to'
  if (head && !isCopy) return head.isOurs ? 'is a copy of a bend history' : 'is a database'
  const mode = statSync(target, { throwIfNoEntry: false })?.mode ?? WRITABLE
  return (mode & WRITABLE) === 0 ? 'is marked read-only' : null
}

/**
 * Whether a file may be written: it is not there yet, or may be replaced. Some never are: what belongs to a history,
 * this one or another, and what is marked read-only, such as an archive.
 *
 * @param of What it is to hold: a copy of a history takes the place of an older one, an export never does.
 * @throws HistoryError `HISTORY_EXISTS`, `HISTORY_NOT_REPLACED`; `HISTORY_BAD_PATH` if there is no folder for it.
 */
export function checkTarget(
  file: string,
  dataDir: string,
  mayReplace: boolean,
  of: 'copy' | 'export' = 'copy',
): void {
  const target = naming(file, () => straight(file))
  const what = whyKept(target, realpathSync(dataDir), { isCopy: of === 'copy' })
  if (what !== null) throw new HistoryError('HISTORY_NOT_REPLACED', { at: file, what })
  if (exists(file) && !mayReplace) throw new HistoryError('HISTORY_EXISTS', { at: file })
}

let partials = 0

/**
 * Where a file is written before it is whole: beside it, so that one renaming puts it in place. Each time another name, so
 * that two who write one file at once do not write into one another's.
 */
export function partialOf(file: string): string {
  partials += 1
  return join(dirname(file), `.${basename(file)}.${process.pid}-${partials}.partial`)
}
