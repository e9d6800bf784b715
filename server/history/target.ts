import { realpathSync } from 'node:fs'
import { basename, dirname, join, resolve } from 'node:path'
import { naming } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import { exists, folderFiles, isFile, sideFiles } from './folder.ts'

/** The path without any detour by a link; the file itself need not be there. */
const straight = (file: string) => join(realpathSync(dirname(resolve(file))), basename(file))

/**
 * Whether a file may be written: it is not there yet, or may be replaced. The history's own files never may.
 *
 * @throws HistoryError `HISTORY_EXISTS`; `HISTORY_BAD_PATH` if there is no folder for it.
 */
export function checkTarget(file: string, dataDir: string, mayReplace: boolean): void {
  const data = realpathSync(dataDir)
  const own = isFile(data) ? [data] : Object.values(folderFiles(data))
  const target = naming(file, () => straight(file))
  const isOwn = own.flatMap((each) => [each, ...sideFiles(each)]).includes(target)
  if (isOwn || (exists(file) && !mayReplace)) throw new HistoryError('HISTORY_EXISTS', { at: file })
}

/** Where a file is written before it is whole: beside it, so that one renaming puts it in place. */
export function partialOf(file: string): string {
  return join(dirname(file), `.${basename(file)}.${process.pid}.partial`)
}
