import { join } from 'node:path'
import { HistoryError } from '../history/errors.ts'
import type { History } from '../history/history.ts'
import { backupName, isBackupDue } from './backup-due.ts'
import type { BackupStanding } from './backup-notices.ts'
import { copiesIn, isOnDiskOf } from './copies.ts'

/** What stopped a backup does not go in a minute; a copy of a large history is not tried that often. */
const AGAIN_AFTER_MS = 15 * 60_000

/** Told to keep copies: where, and how often. */
export interface BackupPlan {
  readonly folder: string
  readonly everyHours: number
}

export type Log = (sentence: string, facts?: Readonly<Record<string, unknown>>) => void

interface Parts {
  readonly history: Pick<History, 'backup'>
  readonly dataDir: string
  readonly wallMs: () => number
  readonly plan: BackupPlan
  readonly log: Log
}

/** Copies made by the clock: a round looks what lies there, and makes one when it is due. */
export function makeBackupRounds({ history, dataDir, wallMs, plan, log }: Parts) {
  const { folder, everyHours } = plan
  let standing: BackupStanding = {
    ...plan,
    ...{ lastGood: null, isSameDisk: false, copies: 0, bytes: 0, trouble: null },
  }
  let failedMs: number | null = null

  function look(trouble: string | null): void {
    const copies = copiesIn(folder)
    standing = {
      ...plan,
      lastGood: copies.findLast(({ beganMs }) => beganMs <= wallMs()) ?? null,
      isSameDisk: isOnDiskOf(folder, dataDir),
      copies: copies.length,
      bytes: copies.reduce((sum, copy) => sum + copy.bytes, 0),
      trouble,
    }
  }

  function isToBeMade(nowMs: number): boolean {
    const isWaiting = failedMs !== null && Math.abs(nowMs - failedMs) < AGAIN_AFTER_MS
    return !isWaiting && isBackupDue(standing.lastGood?.beganMs ?? null, everyHours, nowMs)
  }

  async function make(beganMs: number): Promise<void> {
    const file = join(folder, backupName(beganMs))
    const { records, sha256 } = await history.backup(file)
    log('The history was backed up, and the copy checked.', { file, records, sha256 })
  }

  return {
    standing: () => standing,
    async round(): Promise<void> {
      const nowMs = wallMs()
      try {
        look(standing.trouble)
        if (!isToBeMade(nowMs)) return
        await make(nowMs)
        look(null)
        failedMs = null
      } catch (error) {
        if (!(error instanceof HistoryError)) throw error
        if (error.message !== standing.trouble)
          log('A backup came to nothing.', { why: error.message })
        failedMs = nowMs
        standing = { ...standing, trouble: error.message }
      }
    },
  }
}
