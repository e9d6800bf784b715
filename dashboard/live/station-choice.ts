import type { StationRow } from '../../server/messages/stations.ts'

/** First words of the paths that each bender has of its own. All others are the daemon's. */
const OF_A_STATION: ReadonlySet<string> = new Set([
  'station',
  'bench',
  'output',
  'readout',
  'ports',
  'wire',
  'chain',
  'springback',
])

/** A path below `/api/`, of the chosen bender where it has its own; null: of the first. */
export function pathAt(key: string | null, path: string): string {
  const [first = ''] = path.split(/[/?]/, 1)
  return key !== null && OF_A_STATION.has(first) ? `stations/${key}/${path}` : path
}

/** What a browser's address asks for; null: nothing. */
export const keyIn = (search: string): string | null =>
  new URLSearchParams(search).get('station') || null

/**
 * Which bender this page looks at. What the address says holds, even where there is no such bender: another one's angle
 * must never stand in its place. What the device remembers holds as long as that bender is there.
 *
 * @param rows The daemon's benders; null: not known now.
 * @returns null: the first, as where there is one alone.
 */
export function chosenKey(
  asked: string | null,
  remembered: string | null,
  rows: readonly StationRow[] | null,
): string | null {
  if (asked !== null) return asked
  if (rows === null) return remembered
  if (rows.length <= 1) return null
  return rows.find(({ key }) => key === remembered)?.key ?? rows[0]?.key ?? null
}

/** What is to be seen of a bender from another one's page, the most urgent alone. */
export function glanceOf({
  link,
  cue,
  phase,
}: StationRow): 'no-signal' | 'stop' | 'bending' | null {
  if (link !== 'live') return 'no-signal'
  if (cue === 'stop' || cue === 'over') return 'stop'
  return phase === 'bending' || phase === 'held' || phase === 'letting-off' ? 'bending' : null
}
