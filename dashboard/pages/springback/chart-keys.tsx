import {
  type SpringbackView,
  STANDINGS,
  type Standing,
} from '../../../server/messages/springback.ts'
import { words } from '../../words/en.ts'
import { askedDegrees } from '../../words/format.ts'

const { keys: say } = words.springback.chart

/** It has no place among those that teach. */
export const isCrossed = (standing: Standing) => standing === 'taken-out' || standing === 'void'

/** The mark of a bend, as the chart has it. */
export function PointMark({ standing }: { standing: Standing }) {
  return (
    <svg class="point-mark" viewBox="0 0 20 20" aria-hidden="true">
      {!isCrossed(standing) && <circle cx="10" cy="10" r="5" data-standing={standing} />}
      {standing === 'apart' && <path d="M3 3 17 17M17 3 3 17" />}
      {isCrossed(standing) && <path d="M5 5 15 15M15 5 5 15" />}
    </svg>
  )
}

/** What the chart's lines, bands and marks mean; marks that are not on it are left out. */
export function ChartKeys({ view }: { view: SpringbackView }) {
  const there = STANDINGS.filter((standing) =>
    view.points.some((point) => point.standing === standing),
  )
  return (
    <ul class="chart-keys">
      <li>
        <svg class="line-mark" viewBox="0 0 36 20" aria-hidden="true">
          <rect class="key-band" x="0" y="2" width="36" height="16" />
          <path class="key-line" d="M0 10H36" />
        </svg>
        {say.expected}
      </li>
      {view.points.length > 0 && (
        <li>
          <svg class="line-mark" viewBox="0 0 36 20" aria-hidden="true">
            <rect class="key-prior" x="0" y="2" width="36" height="16" />
            <path class="key-prior-line" d="M0 10H36" />
          </svg>
          {say.prior}
        </li>
      )}
      <li>
        <svg class="line-mark" viewBox="0 0 36 20" aria-hidden="true">
          <path class="key-wanted" d="M12 20 24 0" />
        </svg>
        {say.wanted(askedDegrees(view.wantedDeg, 0))}
      </li>
      {there.map((standing) => (
        <li key={standing}>
          <PointMark standing={standing} />
          {say[standing]}
        </li>
      ))}
    </ul>
  )
}
