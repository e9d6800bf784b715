import type { WebClock } from './clock.ts'
import { type Doorway, type HostNames, isLoopback, makeHostNames } from './hosts.ts'
import { makePairing, SESSION_S } from './pairing.ts'
import { refused } from './refuse.ts'

const COOKIE = 'overbend_session'
/** Cookies longer than this are not ours and are not searched. */
const COOKIE_HEADER_MAX = 4096

/** Who may speak to this daemon, and under which names it answers. */
export interface Access extends HostNames {
  /** To be printed at start; null when the daemon answers its own machine only. */
  readonly pairingCode: string | null
  /** True for callers on this machine and for devices that hold a session. */
  mayEnter(door: Doorway, cookieHeader: string | undefined): boolean
  /** The Set-Cookie value of a new session. Throws `Refused`. */
  pair(code: string): string
}

function tokenIn(header: string): string | undefined {
  const pairs = header.slice(0, COOKIE_HEADER_MAX).split(/; */)
  const prefix = `${COOKIE}=`
  return pairs.find((pair) => pair.startsWith(prefix))?.slice(prefix.length)
}

/**
 * Bound to loopback, the daemon is open to its own machine. Bound elsewhere, whoever is not on this
 * machine must pair first. The cookie cannot be `Secure`: a shop's network has no certificate.
 */
export function makeAccess({ host, clock }: { host: string; clock: WebClock }): Access {
  const pairing = isLoopback(host) ? null : makePairing(clock)
  return {
    ...makeHostNames(host),
    pairingCode: pairing?.code ?? null,
    mayEnter(door, cookieHeader) {
      if (pairing === null || isLoopback(door.remoteAddress ?? '')) return true
      const token = cookieHeader && tokenIn(cookieHeader)
      return token !== undefined && token !== '' && pairing.isSession(token)
    },
    pair(code) {
      if (pairing === null) throw refused('no-pairing')
      const token = pairing.pair(code)
      return `${COOKIE}=${token}; Path=/; HttpOnly; SameSite=Strict; Max-Age=${SESSION_S}`
    },
  }
}
