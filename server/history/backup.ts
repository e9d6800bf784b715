import { createHash } from 'node:crypto'
import { createReadStream, renameSync } from 'node:fs'
import { dirname } from 'node:path'
import { setImmediate } from 'node:timers/promises'
import Database from 'better-sqlite3'
import { connectReader } from './connect.ts'
import { naming, namingAsync } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import { makeFlushAlong } from './flush-along.ts'
import { removeWithSideFiles, settle } from './folder.ts'
import type { Verified } from './history.ts'
import { historyFileIn } from './reader.ts'
import { checkTarget, partialOf } from './target.ts'
import { verifySteps } from './verify.ts'

/** Copied in one turn of the event loop: 100 pages of 8 KiB take about a millisecond. */
const PAGES_PER_TURN = 100

export interface Copied {
  readonly records: number
  /** SHA-256 of the file, hexadecimal. */
  readonly sha256: string
}

async function sha256OfFile(file: string): Promise<string> {
  const hash = createHash('sha256')
  await namingAsync(file, async () => {
    for await (const chunk of createReadStream(file)) hash.update(chunk)
  })
  return hash.digest('hex')
}

/** Checks the chain in a file, a batch a turn of the event loop: live degrees go on meanwhile. */
async function verifyKindly(file: string): Promise<Verified> {
  const db = connectReader(file)
  try {
    const steps = verifySteps(db, { isChainOnly: true })
    let step = steps.next()
    while (!step.done) {
      await setImmediate()
      step = steps.next()
    }
    return step.value
  } finally {
    db.close()
  }
}

/** @throws HistoryError `HISTORY_NOT_INTACT`. Returns the number of records and the file's hash. */
export async function proveIntact(file: string, at: string): Promise<Copied> {
  const { intact, records, why } = await verifyKindly(file)
  if (!intact) throw new HistoryError('HISTORY_NOT_INTACT', { at, what: why ?? 'unknown' })
  return { records, sha256: await sha256OfFile(file) }
}

/** Copies with SQLite's online backup, from one moment's view however much is recorded meanwhile. */
async function copyOnline(fromFile: string, toFile: string): Promise<void> {
  const db = connectReader(fromFile)
  const along = makeFlushAlong(toFile)
  try {
    // An open read keeps that view; without it each bend recorded would start the copy anew.
    db.exec('BEGIN')
    db.prepare('SELECT count(*) FROM setting').get()
    await db.backup(toFile, {
      progress: ({ totalPages, remainingPages }) =>
        along.isFlushing(totalPages - remainingPages) ? 0 : PAGES_PER_TURN,
    })
  } finally {
    await along.end()
    db.close()
  }
}

/** A file that is whole by itself: readable from a disk that cannot be written to, with no log beside it. */
export function leaveWal(file: string): void {
  naming(file, () => {
    const db = new Database(file)
    try {
      db.pragma('journal_mode = DELETE')
    } finally {
      db.close()
    }
    settle(file)
  })
}

/**
 * Writes a checked copy of a folder's history, also while a daemon records to it. The file gets its name
 * when it is whole, checked and on the disk; before that there is nothing, or what was there before.
 *
 * @throws HistoryError `HISTORY_MISSING`, `_EXISTS`, `_NOT_INTACT`, or what the disk says.
 */
export async function backUp(
  dataDir: string,
  toFile: string,
  { mayReplace = false } = {},
): Promise<Copied> {
  const history = historyFileIn(dataDir)
  checkTarget(toFile, dataDir, mayReplace)
  const partial = partialOf(toFile)
  return await namingAsync(toFile, async () => {
    try {
      await copyOnline(history, partial)
      leaveWal(partial)
      const copied = await proveIntact(partial, history)
      checkTarget(toFile, dataDir, mayReplace)
      renameSync(partial, toFile)
      settle(dirname(toFile))
      return copied
    } finally {
      removeWithSideFiles(partial)
    }
  })
}
