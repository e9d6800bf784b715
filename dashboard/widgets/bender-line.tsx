import type { StationRow } from '../../server/messages/stations.ts'
import { benderKey } from '../live/bender-key.ts'
import { route } from '../live/route.ts'
import { glanceOf } from '../live/station-choice.ts'
import { benders } from '../live/stations.ts'
import { words } from '../words/en.ts'

const { benders: say } = words

function Bender({ row, isHere }: { row: StationRow; isHere: boolean }) {
  const glance = isHere ? null : glanceOf(row)
  return (
    <a
      href={`?station=${encodeURIComponent(row.key)}${location.hash}`}
      aria-current={isHere ? 'true' : undefined}
      class={glance === null ? undefined : `bender-${glance}`}
    >
      <span dir="auto">{row.name}</span>
      {glance !== null && <span class="bender-glance">{say.glance[glance]}</span>}
    </a>
  )
}

/** Where a daemon has several benders: which one this page looks at, and what the others are about. */
export function BenderLine() {
  // The links keep the page that is open.
  void route.value
  const rows = benders.value
  const key = benderKey() ?? rows[0]?.key
  if (rows.length <= 1) return null
  return (
    <nav class="bender-line" aria-label={say.label}>
      {rows.map((row) => (
        <Bender key={row.key} row={row} isHere={row.key === key} />
      ))}
      {!rows.some((row) => row.key === key) && (
        <p class="form-refused" role="alert">
          {say.none(key ?? '')}
        </p>
      )}
    </nav>
  )
}
