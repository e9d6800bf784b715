import { isoWithOffset } from '../history/iso-time.ts'
import type { Notice } from '../messages/live.ts'
import type { Copy } from './copies.ts'

/** How the copies stand. */
export interface BackupStanding {
  readonly folder: string
  readonly everyHours: number
  readonly lastGood: Copy | null
  readonly isSameDisk: boolean
  readonly copies: number
  readonly bytes: number
  /** Why the last try came to nothing; null: it came to something. */
  readonly trouble: string | null
}

const MS_PER_H = 3_600_000
/** Twice missed is no hiccup of the disk. */
const MISSED_MAX = 2

/** 2026-03-02 09:30, as the shop's clock has it. */
const minuteOf = (wallMs: number) => isoWithOffset(wallMs).slice(0, 16).replace('T', ' ')

/** What a shop must know of its copies: that none was made, and that one broken disk would take both. */
export function backupNotices(standing: BackupStanding | null, nowMs: number): Notice[] {
  if (standing === null) return []
  const { trouble, lastGood, everyHours, folder, isSameDisk } = standing
  const isLongAgo =
    lastGood === null || nowMs - lastGood.beganMs > MISSED_MAX * everyHours * MS_PER_H
  const last =
    lastGood === null
      ? 'There is no good one yet.'
      : `The last good one is of ${minuteOf(lastGood.beganMs)}.`
  const notices: (Notice | false)[] = [
    trouble !== null && {
      id: 'backup',
      kind: isLongAgo ? 'fault' : 'doubt',
      text: `The backup was not made: ${trouble} ${last}`,
      hint: 'It is tried again every quarter of an hour; the history itself goes on.',
    },
    isSameDisk && {
      id: 'backup-disk',
      kind: 'doubt',
      text: `Backups go to ${folder}, on the disk of the history itself.`,
      hint: 'A disk that breaks takes both: give --backup-to a folder on another disk or machine.',
    },
  ]
  return notices.filter((notice) => notice !== false)
}
