import type { HostLine } from '../bend/host-line.ts'
import type { History, RawRecord } from '../history/history.ts'
import type { Bend, NewBend } from '../messages/bends.ts'
import type { InForce } from './record.ts'
import type { Shop } from './shop.ts'

/** What the desk needs of the station around it. */
export interface DeskParts {
  readonly history: History
  /** Of several benders; one that is alone has its own. */
  readonly shop?: Shop | undefined
  readonly circumstances: () => Omit<InForce, 'setup' | 'job' | 'model' | 'leadS'>
  readonly wallMsAt: (timeS: number) => number
  tell(line: HostLine): void
  raw(): RawRecord
  save(bend: NewBend, raw: RawRecord, saved: (bend: Bend) => void): void
  /** The disk refused the mark of an open bend: the bend itself goes on. */
  trouble(error: unknown): void
  /** Of the next bend in the history. */
  nextNumber(): number
  bendBegan(): void
  recorded(bend: NewBend): void
}
