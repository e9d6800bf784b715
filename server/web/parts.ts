import type { FastifyPluginAsyncTypebox } from '@fastify/type-provider-typebox'
import type { History } from '../history/history.ts'
import type { KnownBy } from '../messages/act-kinds/act-kind.ts'
import type { ArchiveAsk, Archived } from '../messages/archives.ts'
import type { Leaving } from '../messages/exports.ts'
import type { BendFilter } from '../messages/find.ts'
import type { Keeping } from '../messages/keeping.ts'
import type { Access } from './access.ts'
import type { Log, WebClock } from './clock.ts'
import type {
  BendActsDoor,
  CertificateDoor,
  NotebookDoor,
  PeopleDoor,
  PieceDoor,
  StationDoor,
  ViewsDoor,
  WireDoor,
} from './station-door.ts'

/** One of the benders of this daemon. */
export interface StationSeat {
  /** As its addresses have it. */
  readonly key: string
  readonly station: StationDoor
  readonly wire: WireDoor
}

/** What the web is built from; every part is handed in, so that a test can hand in its own. */
export interface WebParts {
  /** The bender that a resource is of. */
  readonly station: StationDoor
  readonly wire: WireDoor
  /** All of them, the one that the short addresses mean first. */
  readonly seats: readonly StationSeat[]
  readonly history: History
  readonly acts: BendActsDoor
  readonly pieces: PieceDoor
  readonly notebook: NotebookDoor
  readonly certificates: CertificateDoor
  readonly views: ViewsDoor
  /** How the history is kept; without it nobody looks after that. */
  readonly keeping?: { keeping(): Keeping }
  /** Archives in the data folder; without it there is no folder. */
  readonly archive?: (ask: ArchiveAsk, whoKnownBy: KnownBy) => Promise<Archived>
  /** Bends with all that was done about them, signed; null where there is no key. Without it there is none. */
  readonly signed?: (filter: BendFilter) => Iterable<string> | null
  /** Told of each file of bends that leaves; without it nobody notes that. */
  readonly left?: (what: Leaving) => void
  readonly access: Access
  readonly people: PeopleDoor
  readonly clock: WebClock
  /** Version of this software, as health and the OpenAPI document give it. */
  readonly software: string
  readonly log: Log
}

/** A resource under `/api`: a file each in `resources/`, and one line in `app.ts`. */
export type Resource = FastifyPluginAsyncTypebox<WebParts>
