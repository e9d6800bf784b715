/** Waits between attempts to open a port: quick after a bumped plug, sparing of a port that stays away. */
const WAITS_S = [0.25, 0.5, 1, 2, 4, 5] as const
/** Several daemons on one machine shall not all knock at the same moment. */
const JITTER = 0.2

/**
 * @param failures Attempts that have failed so far, from 0.
 * @param chance From 0 up to 1.
 */
export function backoffS(failures: number, chance: number): number {
  const waitS = WAITS_S[Math.min(failures, WAITS_S.length - 1)] ?? 0
  return waitS * (1 + JITTER * (2 * chance - 1))
}
