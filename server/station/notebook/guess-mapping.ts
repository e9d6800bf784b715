import { type Mapping, NOTEBOOK_FIELDS, type NotebookField } from '../../messages/notebook.ts'

/** What a column is likely called, in words of the trade. The first column that fits is taken. */
const NAMES: Readonly<Record<NotebookField, RegExp>> = {
  startedAt: /^(date|day|time|when|started ?at|bent( on)?)\b/,
  part: /^(part|drawing|job)\b/,
  piece: /^(piece|pc)\b/,
  bendNumber: /^(bend|bend ?(number|no))\b/,
  lot: /^(lot|heat|batch)\b/,
  operator: /^(operator|who|bent by|name|initials)\b/,
  wantedDeg: /^(wanted|target|nominal|angle|drawing angle)\b/,
  toleranceDeg: /^(tolerance|tol|\+\/-|±)/,
  commandedDeg: /^(commanded|stop|stop at|aim|bend to)\b/,
  peakDeg: /^(peak|loaded|taken to|bent to|overbent?( to)?)\b/,
  releasedDeg: /^(released|got|result|measured|actual|finished|after)\b/,
  hits: /^(hits|goes|tries)\b/,
}

/** `wantedDeg`, `Wanted (deg)` and `wanted_deg` are one name. */
const plain = (header: string) =>
  header
    .replaceAll(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .replaceAll(/[_.:()[\]]/g, ' ')
    .replaceAll(/\s+/g, ' ')
    .trim()

/** Where each field probably stands, by the names of the columns; a person looks over it. */
export function guessMapping(header: readonly string[]): Mapping {
  const taken = new Set<number>()
  const found = NOTEBOOK_FIELDS.flatMap((field) => {
    const column = header.findIndex(
      (name, place) => !taken.has(place) && NAMES[field].test(plain(name)),
    )
    if (column < 0) return []
    taken.add(column)
    return [[field, { column }] as const]
  })
  return Object.fromEntries(found)
}
