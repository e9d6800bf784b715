import type { Clock } from './link.ts'

/**
 * The same clock, running `factor` times as fast from now on: for a look at a dozen bends of the bench in a
 * minute. Its wall time runs ahead as well, so that a bend lasts as long in its record as on its own clock.
 */
export function fasterClock(clock: Clock, factor: number): Clock {
  if (factor === 1) return clock
  const startS = clock.nowS()
  const startWallMs = clock.wallMs()
  return {
    nowS: () => startS + (clock.nowS() - startS) * factor,
    wallMs: () => startWallMs + (clock.nowS() - startS) * factor * 1000,
    after: (seconds, act) => clock.after(seconds / factor, act),
  }
}
