import { createHash, randomBytes } from 'node:crypto'
import type { WebClock } from './clock.ts'

/** 256 bits, twice what OWASP ASVS 5.0 item 7.2.3 asks of a session token. */
const TOKEN_BYTES = 32
/** A working day: after it one signs in or pairs again (OWASP ASVS 5.0 item 7.3.2). */
export const SESSION_S = 12 * 3600
/** A shop has fewer devices than this; when full, the oldest session makes room. */
const SESSIONS_MAX = 64
/** Cookies longer than this are not ours and are not searched. */
const COOKIE_HEADER_MAX = 4096

export interface Sessions<T> {
  /** The token of a new session. */
  open(of: T): string
  /** What it was opened for; null when there is no such session, or no longer. */
  find(token: string): T | null
  close(token: string): void
  closeAll(which: (of: T) => boolean): void
}

/** Sessions by the SHA-256 of their token: whoever reads this memory still holds no token. */
export function makeSessions<T>(clock: WebClock): Sessions<T> {
  const all = new Map<string, { readonly of: T; readonly endsAtS: number }>()
  const keyOf = (token: string) => createHash('sha256').update(token).digest('hex')
  return {
    open(of) {
      const oldest = all.size < SESSIONS_MAX ? undefined : all.keys().next().value
      if (oldest !== undefined) all.delete(oldest)
      const token = randomBytes(TOKEN_BYTES).toString('base64url')
      all.set(keyOf(token), { of, endsAtS: clock.nowS() + SESSION_S })
      return token
    },
    find(token) {
      const session = all.get(keyOf(token))
      return session !== undefined && clock.nowS() < session.endsAtS ? session.of : null
    },
    close: (token) => void all.delete(keyOf(token)),
    closeAll(which) {
      for (const [key, { of }] of all) if (which(of)) all.delete(key)
    },
  }
}

/** The cookie cannot be `Secure`: a shop's network has no certificate. */
export const cookieOf = (name: string, token: string, maxAgeS = SESSION_S) =>
  `${name}=${token}; Path=/; HttpOnly; SameSite=Strict; Max-Age=${maxAgeS}`

/** The token under this name; null where there is none. */
export function tokenIn(header: string | undefined, name: string): string | null {
  const pairs = (header ?? '').slice(0, COOKIE_HEADER_MAX).split(/; */)
  const prefix = `${name}=`
  const token = pairs.find((pair) => pair.startsWith(prefix))?.slice(prefix.length)
  return token === undefined || token === '' ? null : token
}
