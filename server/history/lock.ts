import { readFileSync, rmSync, writeFileSync } from 'node:fs'
import Database from 'better-sqlite3'
import { asHistoryError } from './disk-errors.ts'
import { HistoryError } from './errors.ts'
import { folderFiles } from './folder.ts'

function holder(pidFile: string): string {
  try {
    const pid = /^\d{1,10}$/.exec(readFileSync(pidFile, 'utf8').trim())
    return pid ? `process ${pid[0]}` : 'another process'
  } catch {
    return 'another process'
  }
}

/**
 * Takes a data folder for this process alone; returns what gives it back. The lock is one of the operating
 * system on a file of its own, by way of SQLite: it ends with the process, however that ends, and those
 * who only read the history are not in its way. The process number stands in a plain file, since no one
 * else can read a locked one.
 *
 * @throws HistoryError `HISTORY_IN_USE` with the process that holds it.
 */
export function lockFolder(dataDir: string): () => void {
  const { lock, pid } = folderFiles(dataDir)
  let held: Database.Database | undefined
  try {
    held = new Database(lock, { timeout: 0 })
    held.exec('BEGIN EXCLUSIVE')
    writeFileSync(pid, `${process.pid}\n`)
  } catch (error) {
    held?.close()
    const named = asHistoryError(error, dataDir)
    if (named instanceof HistoryError && named.code === 'HISTORY_BUSY')
      throw new HistoryError('HISTORY_IN_USE', { at: dataDir, what: holder(pid) }, error)
    throw named
  }
  const connection = held
  return function release() {
    if (!connection.open) return
    rmSync(pid, { force: true })
    connection.close()
  }
}
