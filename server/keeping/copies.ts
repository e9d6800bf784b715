import { readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { naming } from '../history/disk-errors.ts'
import { backupMs } from './backup-due.ts'

/** A file gets such a name only when it is whole, checked and on the disk. */
export interface Copy {
  readonly file: string
  readonly beganMs: number
  readonly bytes: number
}

/** Backups in a folder, the oldest first. @throws HistoryError what is the matter with the folder. */
export const copiesIn = (folder: string): Copy[] =>
  naming(folder, () =>
    readdirSync(folder)
      .toSorted()
      .flatMap((name) => {
        const beganMs = backupMs(name)
        if (beganMs === null) return []
        const file = join(folder, name)
        return [{ file, beganMs, bytes: statSync(file).size }]
      }),
  )

/** Whether one broken disk would take both. @throws HistoryError */
export const isOnDiskOf = (folder: string, dataDir: string): boolean =>
  naming(folder, () => statSync(folder).dev === statSync(dataDir).dev)
