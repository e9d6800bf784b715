import { basename, dirname, join, resolve } from 'node:path'
import { HistoryError } from './errors.ts'
import { exists, folderFiles, sideFiles } from './folder.ts'

/**
 * Whether a file may be written: it is not there yet, or may be replaced. The history's own files never may.
 *
 * @throws HistoryError `HISTORY_EXISTS`.
 */
export function checkTarget(file: string, dataDir: string, mayReplace: boolean): void {
  const own = Object.values(folderFiles(resolve(dataDir)))
  const isOwn = own.flatMap((each) => [each, ...sideFiles(each)]).includes(resolve(file))
  if (isOwn || (exists(file) && !mayReplace)) throw new HistoryError('HISTORY_EXISTS', { at: file })
}

/** Where a file is written before it is whole: beside it, so that one renaming puts it in place. */
export function partialOf(file: string): string {
  return join(dirname(file), `.${basename(file)}.${process.pid}.partial`)
}
