import type { ReadoutDoubt } from '../../../server/messages/readout.ts'

/**
 * Which bends a failed check puts in doubt: those of the bender from the day of the last check that passed on, or all of
 * them where none did. One that is void, or that somebody wrote a note to since it failed, is decided about.
 */
export function sinceGood(station: string, { goodAt, failedAt }: ReadoutDoubt) {
  const day = goodAt?.slice(0, 10) ?? null
  const all = new URLSearchParams({ ...(day !== null && { firstDay: day }), station })
  const open = new URLSearchParams([...all, ['undecidedSince', failedAt]])
  return { day, all, open }
}
