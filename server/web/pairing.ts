import { createHash, randomBytes, randomInt, timingSafeEqual } from 'node:crypto'
import type { WebClock } from './clock.ts'
import { refused } from './refuse.ts'

const CODE_DIGITS = 6
/** Five tries in 2 min at a million codes: one chance in 200 000 for whoever guesses. */
const TRIES_MAX = 5
const TRIES_WITHIN_S = 120
/** Each lock-out lasts twice as long as the one before, so that a patient guesser gains little. */
const LOCK_MAX_S = 3600
/** 256 bits, twice what OWASP ASVS 5.0 item 7.2.3 asks of a session token. */
const TOKEN_BYTES = 32
/** A working day: after it the device is paired again (OWASP ASVS 5.0 item 7.3.2). */
export const SESSION_S = 12 * 3600
/** A shop has fewer devices than this; when full, the oldest session makes room. */
const SESSIONS_MAX = 64

const sha256 = (text: string) => createHash('sha256').update(text).digest()

export interface Pairing {
  /** Six digits for the person at the daemon's own screen. */
  readonly code: string
  /** A new session's token. Throws `Refused`: `wrong-code`, `too-many-tries`. */
  pair(code: string): string
  isSession(token: string): boolean
}

/** Wrong tries of all callers together: a guesser with many addresses gains nothing by them. */
function makeTries(clock: WebClock) {
  let wrongAtS: number[] = []
  let lockS = TRIES_WITHIN_S
  let lockedUntilS = Number.NEGATIVE_INFINITY
  return {
    demandUnlocked() {
      const leftS = lockedUntilS - clock.nowS()
      if (leftS > 0) throw refused('too-many-tries', Math.ceil(leftS))
    },
    wrong() {
      const nowS = clock.nowS()
      wrongAtS = [...wrongAtS.filter((atS) => nowS - atS < TRIES_WITHIN_S), nowS]
      if (wrongAtS.length < TRIES_MAX) return
      lockedUntilS = nowS + lockS
      lockS = Math.min(2 * lockS, LOCK_MAX_S)
      wrongAtS = []
    },
    right() {
      wrongAtS = []
      lockS = TRIES_WITHIN_S
    },
  }
}

/** Sessions by the SHA-256 of their token: whoever reads this memory still holds no token. */
function makeSessions(clock: WebClock) {
  const endsAtS = new Map<string, number>()
  const keyOf = (token: string) => sha256(token).toString('hex')
  return {
    open(): string {
      const oldest = endsAtS.size < SESSIONS_MAX ? undefined : endsAtS.keys().next().value
      if (oldest !== undefined) endsAtS.delete(oldest)
      const token = randomBytes(TOKEN_BYTES).toString('base64url')
      endsAtS.set(keyOf(token), clock.nowS() + SESSION_S)
      return token
    },
    isOpen: (token: string) => clock.nowS() < (endsAtS.get(keyOf(token)) ?? 0),
  }
}

export function makePairing(clock: WebClock): Pairing {
  const code = String(randomInt(10 ** CODE_DIGITS)).padStart(CODE_DIGITS, '0')
  const digest = sha256(code)
  const tries = makeTries(clock)
  const sessions = makeSessions(clock)
  return {
    code,
    pair(tried) {
      tries.demandUnlocked()
      if (!timingSafeEqual(sha256(tried), digest)) {
        tries.wrong()
        throw refused('wrong-code')
      }
      tries.right()
      return sessions.open()
    },
    isSession: (token) => sessions.isOpen(token),
  }
}
