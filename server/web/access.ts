import type { WebClock } from './clock.ts'
import { type Doorway, type HostNames, isLoopback, makeHostNames } from './hosts.ts'
import { makePairing } from './pairing.ts'
import { refused } from './refuse.ts'
import { cookieOf, tokenIn } from './sessions.ts'

const COOKIE = 'overbend_session'

/** Who may speak to this daemon, and under which names it answers. */
export interface Access extends HostNames {
  /** To be printed at start; null when the daemon answers its own machine only. */
  readonly pairingCode: string | null
  /** True for callers on this machine and for devices that hold a session. */
  mayEnter(door: Doorway, cookieHeader: string | undefined): boolean
  /** The Set-Cookie value of a new session. Throws `Refused`. */
  pair(code: string): string
}

/**
 * Bound to loopback, the daemon is open to its own machine. Bound elsewhere, whoever is not on this
 * machine must pair first.
 */
export function makeAccess({ host, clock }: { host: string; clock: WebClock }): Access {
  const pairing = isLoopback(host) ? null : makePairing(clock)
  return {
    ...makeHostNames(host),
    pairingCode: pairing?.code ?? null,
    mayEnter(door, cookieHeader) {
      if (pairing === null || isLoopback(door.remoteAddress ?? '')) return true
      const token = tokenIn(cookieHeader, COOKIE)
      return token !== null && pairing.isSession(token)
    },
    pair(code) {
      if (pairing === null) throw refused('no-pairing')
      return cookieOf(COOKIE, pairing.pair(code))
    },
  }
}
