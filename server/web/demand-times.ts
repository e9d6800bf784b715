import type { BendFilter } from '../messages/find.ts'
import { Refused } from './station-door.ts'

/** For every address that takes a filter: what no schema can tell. @throws Refused naming the field. */
export function demandTimes({ from, to, firstDay, lastDay }: BendFilter): void {
  for (const [field, text] of Object.entries({ from, to, firstDay, lastDay })) {
    if (text === undefined || Number.isFinite(Date.parse(text))) continue
    const sentence = `${field} must be a time such as 2026-01-31T08:00:00Z, not "${text}".`
    throw new Refused('bad-input', sentence, field)
  }
}
