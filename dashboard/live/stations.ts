import { signal } from '@preact/signals'
import type { StationRow } from '../../server/messages/stations.ts'
import { lookAt } from './bender-key.ts'
import { settings } from './settings.ts'
import { chosenKey, keyIn } from './station-choice.ts'

/** How often the others are looked at. A call to stop stands longer than this. */
const LOOK_MS = 1000
/** A daemon that answers later than this is not waited for: the page is wanted. */
const WITHIN_MS = 3000

/** The benders of this daemon; empty until they are known. */
export const benders = signal<readonly StationRow[]>([])

async function look(): Promise<readonly StationRow[] | null> {
  try {
    const response = await fetch('/api/stations', { signal: AbortSignal.timeout(WITHIN_MS) })
    return response.ok ? ((await response.json()) as StationRow[]) : null
  } catch {
    return null
  }
}

async function lookAgain(): Promise<void> {
  const rows = await look()
  if (rows !== null) benders.value = rows
  setTimeout(() => void lookAgain(), LOOK_MS)
}

/** To be done before anything of a bender is asked for. */
export async function chooseBender(): Promise<void> {
  const rows = await look()
  const asked = keyIn(location.search)
  const chosen = chosenKey(asked, settings.station.value, rows)
  lookAt(chosen)
  if (rows === null) return
  benders.value = rows
  if (rows.length <= 1) return
  if (rows.some(({ key }) => key === chosen)) settings.station.value = chosen
  // So that the address can be kept, and shown on a wall.
  if (asked === null && chosen !== null)
    history.replaceState(
      history.state,
      '',
      `?station=${encodeURIComponent(chosen)}${location.hash}`,
    )
  setTimeout(() => void lookAgain(), LOOK_MS)
}
