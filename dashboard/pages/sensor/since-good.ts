import type { CheckChart } from '../../../server/messages/readout.ts'

/**
 * Which bends a failed check puts in doubt: those of the bender from the day of the last check that passed on, or all of
 * them where none did. One that is void or has a note is decided about: somebody looked, and said so.
 *
 * @param checks Oldest first.
 */
export function sinceGood(station: string, checks: CheckChart['checks']) {
  const good = checks.findLast(({ passed }) => passed)
  const day = good?.at.slice(0, 10) ?? null
  const all = new URLSearchParams({ ...(day !== null && { firstDay: day }), station })
  const open = new URLSearchParams([...all, ['voided', 'no'], ['noted', 'no']])
  return { day, all, open }
}
