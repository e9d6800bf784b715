import type { Clock } from './link.ts'

/** `setTimeout` fires at once for more than 2^31 − 1 ms; whoever waits that long is waiting for never. */
const WAIT_MAX_MS = 2 ** 31 - 1

/** The machine's own clocks. Only the daemon's assembly makes one; everything else is handed a `Clock`. */
export function makeClock(): Clock {
  return {
    nowS: () => performance.now() / 1000,
    wallMs: () => Date.now(),
    after(seconds, act) {
      const timer = setTimeout(act, Math.min(WAIT_MAX_MS, Math.max(0, seconds * 1000)))
      return { cancel: () => clearTimeout(timer) }
    },
  }
}
