import { isoWithOffset } from '../../history/iso-time.ts'
import type { TapItem } from './tap.ts'

/** A text in an event's facts is no longer than this: a body stays bounded. */
const TEXT_MAX = 200

/** What goes over the network: value, unit, quality and time; or event, facts and time. */
export function payloadOf(item: TapItem, wallMsAt: (timeS: number) => number) {
  const at = isoWithOffset(wallMsAt(item.timeS))
  if (item.type === 'value') {
    const { value, unit, quality } = item
    return { value, unit, quality, at }
  }
  const facts = Object.entries(item.facts).map(([name, fact]) => [
    name,
    typeof fact === 'string' ? fact.slice(0, TEXT_MAX) : fact,
  ])
  return { event: item.event, facts: Object.fromEntries(facts), at }
}
