import type { StationPlace } from '../history/at-station.ts'
import type { History } from '../history/history.ts'
import type { Clock, Link } from '../link/link.ts'
import type { Notice } from '../messages/live.ts'
import type { Wire } from '../messages/wire.ts'
import type { Catalogue } from '../own-blocks/catalogue.ts'
import type { BenchDoor } from './bench-door.ts'
import type { Shared } from './shared.ts'

/** Housekeeping: bends that wait for the disk, counters on the page. */
export const TICK_S = 1

/** What one bender's station is made of; every part is handed in, so that a test can hand in its own. */
export interface StationParts {
  readonly clock: Clock
  readonly link: Link
  readonly history: History
  readonly bench: BenchDoor | null
  /** What the lines of the link are; as of the bench without it. */
  readonly wire?: () => Wire
  readonly software: string
  /** The blocks that chains are made of. */
  readonly catalogue: Catalogue
  /** What the daemon has to say of how the history is kept. */
  readonly keeping?: { notices(): readonly Notice[] }
  /** Where taps write, and the environment whose names a chain may give; without it nothing leaves a chain. */
  readonly taps?: {
    readonly folder: string
    readonly env: Readonly<Record<string, string | undefined>>
  }
  /** Among several benders: which one it is, and what they have in common. `history` is as seen from it. */
  readonly place?: StationPlace
  readonly shared?: Shared
}
