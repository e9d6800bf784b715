import type { WebClock } from '../../server/web/clock.ts'

/** This machine's own clock, for tests with real sockets. */
export const realClock: WebClock = {
  nowS: () => performance.now() / 1000,
  after(seconds, act) {
    const timer = setTimeout(act, 1000 * seconds)
    return { cancel: () => clearTimeout(timer) }
  },
}
