import type { DiskRoom } from '../messages/keeping.ts'
import type { Notice } from '../messages/live.ts'

/** Bends of this many days say how fast a history grows. */
export const LATELY_DAYS = 30

const SOON = { days: 60, bytes: 2e9 }
const NOW = { days: 7, bytes: 200e6 }

export interface Growth {
  readonly freeBytes: number
  /** Size of the history, and how many bends it holds. */
  readonly historyBytes: number
  readonly bends: number
  /** Of these, how many are of the last days, and over how many days they spread, 1 to 30. */
  readonly bendsLately: number
  readonly lateDays: number
  /** Whole copies that are put on this disk, a day. */
  readonly copiesPerDay: number
}

/** How long the disk will do at this shop's pace. Bytes and days; what is filled by other programs is not foreseen. */
export function roomFor(growth: Growth): DiskRoom {
  const { freeBytes, historyBytes, bends, bendsLately, lateDays, copiesPerDay } = growth
  const bytesPerBend = bends > 0 ? historyBytes / bends : 0
  const bytesPerDay =
    (bytesPerBend * bendsLately) / Math.max(1, lateDays) + historyBytes * copiesPerDay
  return { freeBytes, daysLeft: bytesPerDay > 0 ? freeBytes / bytesPerDay : null }
}

const isWithin = ({ freeBytes, daysLeft }: DiskRoom, limit: typeof SOON) =>
  !(freeBytes >= limit.bytes && (daysLeft ?? Infinity) >= limit.days)

/** 1.2 GB, 340 MB: decimal, as disks are sold. */
const sizeInWords = (bytes: number) =>
  bytes >= 1e9 ? `${(bytes / 1e9).toFixed(1)} GB` : `${Math.ceil(bytes / 1e6)} MB`

function daysInWords({ daysLeft }: DiskRoom): string {
  if (daysLeft === null) return ''
  const days = Math.floor(daysLeft)
  if (days >= 365) return ', enough for more than a year at this pace'
  return `, enough for about ${days} ${days === 1 ? 'day' : 'days'} at this pace`
}

/** Told long before bends have to wait in memory. */
export function roomNotices(room: DiskRoom | null): Notice[] {
  if (room === null || !isWithin(room, SOON)) return []
  return [
    {
      id: 'disk-room',
      kind: isWithin(room, NOW) ? 'fault' : 'task',
      text: `The disk of the history has ${sizeInWords(room.freeBytes)} left${daysInWords(room)}.`,
      hint: 'Make room on it, or take a larger one: nothing is deleted by itself.',
    },
  ]
}
