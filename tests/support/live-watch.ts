import { WebSocket } from 'ws'
import type { LiveMessage, Samples, StationState } from '../../server/messages/live.ts'
import { type Daemon, until } from './daemon.ts'

/** A client of the live stream that reads as fast as it can, and keeps the newest only. */
export interface LiveWatch {
  readonly socket: WebSocket
  state(): StationState | null
  samples(): Samples | null
  /** Samples so far. */
  count(): number
  /** Waits until so many more samples have come. */
  more(samples: number): Promise<void>
  /** Resolves once the stream is closed, by whomever; all that was sent before it has then been read. */
  closed(): Promise<void>
}

/** Opens the live stream as a page of this daemon would. */
export function watchLive(
  { url }: Pick<Daemon, 'url'>,
  onMessage: (message: LiveMessage) => void = () => undefined,
): LiveWatch {
  const socket = new WebSocket(`${url.replace('http', 'ws')}/live`, { origin: url })
  let state: StationState | null = null
  let samples: Samples | null = null
  let count = 0
  socket.on('error', () => undefined)
  socket.on('message', (data) => {
    const message = JSON.parse(String(data)) as LiveMessage
    if (message.type === 'samples') {
      samples = message
      count += message.tS.length
    } else state = message.state
    onMessage(message)
  })
  return {
    socket,
    state: () => state,
    samples: () => samples,
    count: () => count,
    async more(wanted) {
      const from = count
      await until(
        async () => count - from,
        (come) => come >= wanted,
        { seconds: 60, what: `${wanted} samples more` },
      )
    },
    closed: () =>
      new Promise((resolve) => {
        if (socket.readyState === WebSocket.CLOSED) resolve()
        else socket.once('close', () => resolve())
      }),
  }
}
