import { statSync } from 'node:fs'
import { statfs } from 'node:fs/promises'
import { namingAsync } from '../history/disk-errors.ts'
import { HistoryError } from '../history/errors.ts'
import { folderFiles, sideFiles } from '../history/folder.ts'
import type { History } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import type { DiskRoom, Keeping } from '../messages/keeping.ts'
import type { Notice } from '../messages/live.ts'
import { type BackupStanding, backupNotices } from './backup-notices.ts'
import { type BackupPlan, type Log, makeBackupRounds } from './backup-rounds.ts'
import { LATELY_DAYS, roomFor, roomNotices } from './disk-room.ts'

const MS_PER_DAY = 86_400_000
const LOOK_EVERY_S = 60
/** Counting the bends of a month takes a large history a tenth of a second; a pace does not change in a minute. */
const PACE_EVERY_MS = 3_600_000

/** A cancellable timer, and the time of day. */
interface KeeperClock {
  wallMs(): number
  after(seconds: number, act: () => void): { cancel(): void }
}

interface Parts {
  readonly history: Pick<History, 'backup' | 'count' | 'summary'>
  readonly dataDir: string
  readonly clock: KeeperClock
  readonly plan: BackupPlan | null
  readonly log: Log
}

export interface Keeper {
  keeping(): Keeping
  notices(): Notice[]
  start(): void
  /** Resolves when a backup that was under way is done. */
  stop(): Promise<void>
}

/** What a daemon looks after by itself: copies made by the clock, and room on the disk. */
export function makeKeeper(parts: Parts): Keeper {
  const { clock, plan, log } = parts
  const backups = plan && makeBackupRounds({ ...parts, plan, wallMs: clock.wallMs })
  const standing = () => backups?.standing() ?? null
  const pace = makePace(parts)
  let room: DiskRoom | null = null
  let timer: { cancel(): void } | null = null
  let looking: Promise<void> = Promise.resolve()

  async function look(): Promise<void> {
    try {
      await backups?.round()
      room = await roomOf(parts, pace, standing())
    } catch (error) {
      log('Looking after the history failed.', { error: String(error) })
    }
    if (timer !== null) timer = clock.after(LOOK_EVERY_S, go)
  }

  function go(): void {
    looking = look()
  }

  return {
    keeping() {
      const stands = standing()
      return { backups: stands && backupsTold(stands), room }
    },
    notices: () => [...roomNotices(room), ...backupNotices(standing(), clock.wallMs())],
    start() {
      timer = clock.after(0, go)
    },
    async stop() {
      timer?.cancel()
      timer = null
      await looking
    },
  }
}

const sizeOf = (file: string) => statSync(file, { throwIfNoEntry: false })?.size ?? 0

/** Bytes of the history, its log included. */
function historyBytes(dataDir: string): number {
  const { history } = folderFiles(dataDir)
  return [history, ...sideFiles(history)].reduce((sum, file) => sum + sizeOf(file), 0)
}

/** Bends of the last days, and over how many days they spread. */
interface Pace {
  readonly bendsLately: number
  readonly lateDays: number
}

/** @throws HistoryError */
function makePace({ history, clock }: Parts): () => Pace {
  let known: (Pace & { readonly atMs: number }) | null = null
  return () => {
    const atMs = clock.wallMs()
    if (known !== null && Math.abs(atMs - known.atMs) < PACE_EVERY_MS) return known
    const from = isoWithOffset(atMs - LATELY_DAYS * MS_PER_DAY)
    const { total, earliest } = history.summary({ from })
    const spreadDays = earliest === null ? 1 : (atMs - Date.parse(earliest)) / MS_PER_DAY
    const lateDays = Math.min(LATELY_DAYS, Math.max(1, spreadDays))
    known = { atMs, bendsLately: total, lateDays }
    return known
  }
}

/** Null where the history cannot be read: that is told of already, and more plainly. */
async function roomOf(
  { history, dataDir }: Parts,
  pace: () => Pace,
  backups: BackupStanding | null,
): Promise<DiskRoom | null> {
  try {
    const { bavail, bsize } = await namingAsync(dataDir, () => statfs(dataDir))
    const { bendsLately, lateDays } = pace()
    return roomFor({
      freeBytes: bavail * bsize,
      historyBytes: historyBytes(dataDir),
      bends: history.count(),
      ...{ bendsLately, lateDays },
      copiesPerDay: backups?.isSameDisk ? 24 / backups.everyHours : 0,
    })
  } catch (error) {
    if (!(error instanceof HistoryError)) throw error
    return null
  }
}

function backupsTold(standing: BackupStanding): NonNullable<Keeping['backups']> {
  const { folder, everyHours, lastGood, copies, bytes, trouble } = standing
  const told = lastGood && {
    at: isoWithOffset(lastGood.beganMs),
    file: lastGood.file,
    bytes: lastGood.bytes,
  }
  return { folder, everyHours, lastGood: told, copies, bytes, trouble }
}
