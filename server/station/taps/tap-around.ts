import type { Clock } from '../../link/link.ts'
import type { Post } from './http-post.ts'
import type { ConnectBroker } from './mqtt-connection.ts'

/** What taps do their work with; a test hands in its own. */
export interface TapAround {
  readonly clock: Pick<Clock, 'after'>
  readonly wallMsAt: (timeS: number) => number
  /** Where files go: nowhere else. */
  readonly folder: string
  /** The daemon's environment: names of it may stand in a chain, what they hold may not. */
  readonly env: Readonly<Record<string, string | undefined>>
  /** Taps that were closed before are done with their files then. */
  readonly after: Promise<unknown>
  readonly connectBroker: ConnectBroker
  readonly post: Post
}
