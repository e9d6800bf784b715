import { closeSync, fsyncSync, openSync, rmSync, statSync } from 'node:fs'
import { join } from 'node:path'

/** Every file that a data folder holds, or holds for a while. */
export const folderFiles = (dataDir: string) => ({
  history: join(dataDir, 'overbend.sqlite'),
  /** A history in the making; it gets its name when it is whole. */
  unfinished: join(dataDir, 'overbend.sqlite.unfinished'),
  /** Histories restored beside the running one: to read, never written to. */
  beside: join(dataDir, 'beside'),
  /** Archives, each a whole history of its own. */
  archive: join(dataDir, 'archive'),
  /** Ed25519: signs what leaves the folder. The public one is there to be handed out. */
  privateKey: join(dataDir, 'overbend-private.pem'),
  publicKey: join(dataDir, 'overbend-public.pem'),
  lock: join(dataDir, 'overbend.lock'),
  pid: join(dataDir, 'overbend.pid'),
})

/**
 * SQLite keeps these beside a file while it is open: the log, its index, and the journal of a file that has no log.
 * A file may only be moved without them: what is found beside a file is taken for its own.
 */
export const sideFiles = (file: string) =>
  [`${file}-wal`, `${file}-shm`, `${file}-journal`] as const

export function removeSideFiles(file: string): void {
  for (const side of sideFiles(file)) rmSync(side, { force: true })
}

export function removeWithSideFiles(file: string): void {
  rmSync(file, { force: true })
  removeSideFiles(file)
}

export function exists(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false }) !== undefined
}

export const isFile = (path: string): boolean =>
  statSync(path, { throwIfNoEntry: false })?.isFile() ?? false

/** Makes the function that says whether the file of that name is still the one that was there when it was made. */
export function makeIsThere(file: string): () => boolean {
  const { dev, ino } = statSync(file)
  return () => {
    const now = statSync(file, { throwIfNoEntry: false })
    return now?.ino === ino && now.dev === dev
  }
}

const sizeOf = (file: string) => statSync(file, { throwIfNoEntry: false })?.size ?? 0

/**
 * Whether the file alone is not the history: bends stand in the log beside it, or a journal has what it was before a
 * write that never ended. Reading leaves an empty log, which says nothing.
 */
export function hasLog(file: string): boolean {
  const [log, , journal] = sideFiles(file)
  return sizeOf(log) > 0 || sizeOf(journal) > 0
}

/** Waits until a file, or the names in a folder, are on the disk. */
export function settle(path: string): void {
  const handle = openSync(path, 'r')
  try {
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
}
