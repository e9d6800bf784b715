import { type FileHandle, open } from 'node:fs/promises'
import { type Copied, leaveWal, proveIntact } from './backup.ts'
import { HistoryError } from './errors.ts'
import { exists, hasLog, removeSideFiles, removeWithSideFiles, settle } from './folder.ts'

/** Copied in one turn of the event loop. */
const BYTES_PER_TURN = 1024 * 1024

/** Told after each step of a restore, so that each can be tried as the last one. */
export type AtStep = (step: 'copied' | 'flushed' | 'checked' | 'set aside' | 'renamed') => void

/** A live file copied by hand lacks what stood in its log. */
export function checkWholeFile(file: string): void {
  if (!exists(file)) throw new HistoryError('HISTORY_MISSING', { at: file })
  if (hasLog(file))
    throw new HistoryError('HISTORY_NOT_INTACT', {
      at: file,
      what: 'it has a log beside it: make the copy with overbend backup.',
    })
}

async function copyOn(from: FileHandle, to: FileHandle, atStep: AtStep): Promise<void> {
  const turn = Buffer.alloc(BYTES_PER_TURN)
  let { bytesRead } = await from.read(turn)
  while (bytesRead > 0) {
    // Not `write`, which may take a part only.
    await to.writeFile(turn.subarray(0, bytesRead))
    atStep('copied')
    ;({ bytesRead } = await from.read(turn))
  }
}

async function copyInSteps(fromFile: string, toFile: string, atStep: AtStep): Promise<void> {
  const from = await open(fromFile, 'r')
  try {
    const to = await open(toFile, 'wx')
    await copyOn(from, to, atStep).finally(() => to.close())
  } finally {
    await from.close()
  }
}

/** Damage of the copy is the backup's own; the sentence for a history would tell to restore a backup. */
const aboutBackup = (file: string) => (error: unknown) => {
  if (!(error instanceof HistoryError)) throw error
  if (error.code === 'HISTORY_FOREIGN' || error.code === 'HISTORY_NEWER') throw error.about(file)
  if (error.code !== 'HISTORY_CORRUPT') throw error
  const what = 'it is cut off or damaged; take another copy.'
  throw new HistoryError('HISTORY_NOT_INTACT', { at: file, what }, error)
}

/**
 * Copies a backup to a file that nobody uses yet, brings it to the disk and checks it there: a copy byte for byte, with
 * no log beside it. What is wrong with it is said of the backup.
 *
 * @throws HistoryError `HISTORY_NOT_INTACT`, `_FOREIGN`, `_NEWER`, `_CORRUPT`, or what the disk says.
 */
export async function copyChecked(file: string, toFile: string, atStep: AtStep): Promise<Copied> {
  removeWithSideFiles(toFile)
  await copyInSteps(file, toFile, atStep)
  settle(toFile)
  atStep('flushed')
  const copied = await proveIntact(toFile, file).catch(aboutBackup(file))
  removeSideFiles(toFile)
  atStep('checked')
  return copied
}

/** The same for a copy that nothing is ever written to: it can be read where nothing can be written. */
export async function copyToKeep(file: string, toFile: string): Promise<Copied> {
  await copyChecked(file, toFile, () => undefined)
  leaveWal(toFile)
  return await proveIntact(toFile, file)
}
