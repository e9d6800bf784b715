import type { IncomingMessage, Server } from 'node:http'
import type { Duplex } from 'node:stream'
import { type WebSocket, WebSocketServer } from 'ws'
import type { LiveMessage } from '../messages/live.ts'
import type { Access } from './access.ts'
import type { ErrorCode } from './errors.ts'
import { encode, type LiveClient, makeLiveClient, type Wire } from './live-client.ts'
import type { WebParts } from './parts.ts'
import { refuseUpgrade } from './refuse-upgrade.ts'

export const LIVE_PATH = '/live'
/** A shop has fewer screens; each costs one send a sample. */
const CLIENTS_MAX = 256
/** A page that is gone without a word is noticed within two of these. */
const PING_S = 5
/** How long a page may take to answer a goodbye. */
const GOODBYE_S = 1
const POLICY_VIOLATION = 1008
const GOING_AWAY = 1001
const FAILED = 1011

const SOCKET_OPTIONS = {
  noServer: true,
  clientTracking: false,
  // Pages say nothing here; the default of ws is 100 MiB.
  maxPayload: 4096,
  // Costs more time and memory than it saves on messages of 100 bytes.
  perMessageDeflate: false,
  closeTimeout: 1000 * GOODBYE_S,
}

export interface Live {
  close(): void
}

interface Page {
  readonly socket: WebSocket
  readonly client: LiveClient
  isAlive: boolean
}

/** Which rule an attempt to open the stream breaks, if any. */
function breach(request: IncomingMessage, access: Access, pages: number): ErrorCode | null {
  const { headers, socket, url = '' } = request
  if (!access.admitsHost(headers.host, socket)) return 'wrong-host'
  if (url.split('?', 1)[0] !== LIVE_PATH) return 'no-such-address'
  if (!access.admitsOrigin(headers.origin, socket)) return 'foreign-page'
  if (!access.mayEnter(socket, headers.cookie)) return 'not-paired'
  return pages < CLIENTS_MAX ? null : 'too-many-clients'
}

/** Messages are JSON, so they go out as text, though their bytes are made once for all pages. */
const wireOf = (socket: WebSocket): Wire => ({
  get bufferedAmount() {
    return socket.bufferedAmount
  },
  send: (data, sent) => socket.send(data, { binary: false }, sent),
  terminate: () => socket.terminate(),
})

const gapOf = (code: ErrorCode, url = '') => (code === 'too-many-clients' ? CLIENTS_MAX : url)

/**
 * The live stream at /live: `hello` to each page that opens it, then what the station says as it
 * says it. Host, Origin and pairing are checked before the upgrade.
 */
export function addLive(
  server: Server,
  { station, access, clock, log }: Pick<WebParts, 'station' | 'access' | 'clock' | 'log'>,
): Live {
  const sockets = new WebSocketServer(SOCKET_OPTIONS)
  const pages = new Set<Page>()

  function tell(message: LiveMessage) {
    if (pages.size === 0) return
    const data = encode(message)
    for (const { client } of pages) {
      if (message.type === 'samples') client.samples(data, message)
      else client.state(data)
    }
  }

  function greet(socket: WebSocket) {
    const client = makeLiveClient(wireOf(socket), () => clock.nowS())
    const page: Page = { socket, client, isAlive: true }
    socket.on('pong', () => {
      page.isAlive = true
    })
    socket.on('message', () => socket.close(POLICY_VIOLATION, 'This stream takes no messages.'))
    // What went wrong is in the close code that follows; unheard, it would end the daemon.
    socket.on('error', () => undefined)
    socket.on('close', () => pages.delete(page))
    try {
      client.hello(encode(station.hello()))
      pages.add(page)
    } catch (error) {
      log('A page could not be greeted.', { error: String(error) })
      socket.close(FAILED)
    }
  }

  function upgrade(request: IncomingMessage, duplex: Duplex, head: Buffer) {
    const { headers, socket, url } = request
    const code = breach(request, access, pages.size)
    if (code === null) {
      sockets.handleUpgrade(request, duplex, head, greet)
      return
    }
    const from = socket.remoteAddress
    log('A live stream was turned away.', {
      code,
      host: headers.host,
      origin: headers.origin,
      from,
    })
    refuseUpgrade(duplex, code, gapOf(code, url))
  }

  function askWhoIsThere() {
    for (const page of pages) {
      page.client.check()
      if (!page.isAlive) page.socket.terminate()
      else page.socket.ping()
      page.isAlive = false
    }
    ticking = clock.after(PING_S, askWhoIsThere)
  }

  let ticking = clock.after(PING_S, askWhoIsThere)
  const unsubscribe = station.subscribe(tell)
  server.on('upgrade', upgrade)
  return {
    close() {
      ticking.cancel()
      unsubscribe()
      server.off('upgrade', upgrade)
      for (const { socket } of pages) socket.close(GOING_AWAY)
    },
  }
}
