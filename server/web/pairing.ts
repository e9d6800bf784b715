import { createHash, randomInt, timingSafeEqual } from 'node:crypto'
import type { WebClock } from './clock.ts'
import { refused } from './refuse.ts'
import { makeSessions } from './sessions.ts'
import { makeTries } from './tries.ts'

const CODE_DIGITS = 6

const sha256 = (text: string) => createHash('sha256').update(text).digest()

export interface Pairing {
  /** Six digits for the person at the daemon's own screen. */
  readonly code: string
  /** A new session's token. Throws `Refused`: `wrong-code`, `too-many-tries`. */
  pair(code: string): string
  isSession(token: string): boolean
}

export function makePairing(clock: WebClock): Pairing {
  const code = String(randomInt(10 ** CODE_DIGITS)).padStart(CODE_DIGITS, '0')
  const digest = sha256(code)
  const tries = makeTries(clock, (leftS) => {
    throw refused('too-many-tries', leftS)
  })
  const sessions = makeSessions<true>(clock)
  return {
    code,
    pair(tried) {
      tries.demandUnlocked()
      if (!timingSafeEqual(sha256(tried), digest)) {
        tries.wrong()
        throw refused('wrong-code')
      }
      tries.right()
      return sessions.open(true)
    },
    isSession: (token) => sessions.find(token) !== null,
  }
}
