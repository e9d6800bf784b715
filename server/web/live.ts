import type { IncomingMessage, Server } from 'node:http'
import type { Duplex } from 'node:stream'
import { type WebSocket, WebSocketServer } from 'ws'
import type { LiveMessage } from '../messages/live.ts'
import type { Access } from './access.ts'
import type { ErrorCode } from './errors.ts'
import { encode, type LiveClient, makeLiveClient, type Wire } from './live-client.ts'
import type { StationSeat, WebParts } from './parts.ts'
import { refuseUpgrade } from './refuse-upgrade.ts'
import { seatFor } from './seats.ts'

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
  /** The bender that it looks at. */
  readonly seat: StationSeat
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

function gapOf(code: ErrorCode, url = ''): string | number {
  if (code === 'too-many-clients') return CLIENTS_MAX
  return code === 'no-such-station' ? (keyOf(url) ?? '') : url
}

/** Which bender the address of a stream names; null: none, which means the first. */
const keyOf = (url: string) => new URLSearchParams(url.split('?')[1] ?? '').get('station')

/**
 * The live stream at /live: `hello` to each page that opens it, then what the station says as it
 * says it; `?station=` names another than the first. All that is checked before the upgrade.
 */
export function addLive(
  server: Server,
  { seats, access, clock, log }: Pick<WebParts, 'seats' | 'access' | 'clock' | 'log'>,
): Live {
  const sockets = new WebSocketServer(SOCKET_OPTIONS)
  const pages = new Set<Page>()

  function tell(seat: StationSeat, message: LiveMessage) {
    const those = [...pages].filter((page) => page.seat === seat)
    if (those.length === 0) return
    const data = encode(message)
    for (const { client } of those) {
      if (message.type === 'samples') client.samples(data, message)
      else client.state(data)
    }
  }

  function greet(socket: WebSocket, seat: StationSeat) {
    const client = makeLiveClient(wireOf(socket), () => clock.nowS())
    const page: Page = { seat, socket, client, isAlive: true }
    socket.on('pong', () => {
      page.isAlive = true
    })
    socket.on('message', () => socket.close(POLICY_VIOLATION, 'This stream takes no messages.'))
    // What went wrong is in the close code that follows; unheard, it would end the daemon.
    socket.on('error', () => undefined)
    socket.on('close', () => pages.delete(page))
    try {
      client.hello(encode(seat.station.hello()))
      pages.add(page)
    } catch (error) {
      log('A page could not be greeted.', { error: String(error) })
      socket.close(FAILED)
    }
  }

  function upgrade(request: IncomingMessage, duplex: Duplex, head: Buffer) {
    const { headers, socket, url } = request
    const seat = seatFor(seats, keyOf(url ?? ''))
    const broken = breach(request, access, pages.size)
    if (broken === null && seat !== null) {
      sockets.handleUpgrade(request, duplex, head, (opened) => greet(opened, seat))
      return
    }
    const code = broken ?? 'no-such-station'
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
  const unsubscribe = seats.map((seat) => seat.station.subscribe((message) => tell(seat, message)))
  server.on('upgrade', upgrade)
  return {
    close() {
      ticking.cancel()
      for (const end of unsubscribe) end()
      server.off('upgrade', upgrade)
      for (const { socket } of pages) socket.close(GOING_AWAY)
    },
  }
}
