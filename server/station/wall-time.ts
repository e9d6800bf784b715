import type { Clock } from '../link/link.ts'

/** Milliseconds since 1970 of a moment on the station's clock. */
export const wallTime =
  (clock: Clock) =>
  (timeS: number): number =>
    clock.wallMs() - (clock.nowS() - timeS) * 1000
