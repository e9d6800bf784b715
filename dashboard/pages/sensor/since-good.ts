import type { ReadoutDoubt } from '../../../server/messages/readout.ts'

/**
 * Which bends a failed check puts in doubt: those of the bender since the last check that passed, or all of them where
 * none did. One that is void, or that somebody wrote a note to since it failed, is decided about.
 */
export function sinceGood(station: string, { goodAt: from, failedAt }: ReadoutDoubt) {
  const all = new URLSearchParams({ ...(from !== null && { from }), station })
  const open = new URLSearchParams([...all, ['undecidedSince', failedAt]])
  return { from, all, open }
}
