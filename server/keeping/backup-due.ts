const MS_PER_H = 3_600_000
const NAME = /^overbend-(\d{4}-\d\d-\d\d)T(\d\d)(\d\d)(\d\d)Z\.sqlite$/

/** Name of the backup that is begun now; in UTC, so that names sort by time whatever summer does. */
export const backupName = (wallMs: number) =>
  `overbend-${new Date(wallMs).toISOString().slice(0, 19).replaceAll(':', '')}Z.sqlite`

/** Milliseconds since 1970 at which a file of this name was begun; null: it is none of ours. */
export function backupMs(name: string): number | null {
  const [, day, hour, minute, second] = NAME.exec(name) ?? []
  const ms = Date.parse(`${day}T${hour}:${minute}:${second}Z`)
  return Number.isFinite(ms) ? ms : null
}

/**
 * Whether it is time again. A backup of the future says that the clock was set back; it is none to rely on.
 *
 * @param lastMs Beginning of the newest good one that is not of the future; null: there is none.
 */
export const isBackupDue = (lastMs: number | null, everyHours: number, nowMs: number): boolean =>
  !(lastMs !== null && nowMs - lastMs < everyHours * MS_PER_H)
