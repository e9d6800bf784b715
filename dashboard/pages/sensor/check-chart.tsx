import type { CheckChart as Chart } from '../../../server/messages/readout.ts'
import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { words } from '../../words/en.ts'
import { signedDegrees } from '../../words/format.ts'

const WIDTH = 1000
const HEIGHT = 220
const MARGIN = 24
const { piece: say } = words.sensor

/** Where a difference stands on the sheet, px from the top. */
function scaleOf({ checks, limits, piece }: Chart) {
  const reachDeg = Math.max(
    piece.limitDeg,
    ...checks.map(({ differenceDeg }) => Math.abs(differenceDeg)),
    Math.abs(limits?.upperDeg ?? 0),
    Math.abs(limits?.lowerDeg ?? 0),
  )
  const half = HEIGHT / 2 - MARGIN
  const y = (deg: number) => HEIGHT / 2 - (deg / (reachDeg * 1.1)) * half
  const step = (WIDTH - 2 * MARGIN) / Math.max(1, checks.length - 1)
  return { y, x: (index: number) => MARGIN + index * step }
}

function Line({ y, kind, name }: { y: number; kind: string; name: string }) {
  return (
    <g class={`chart-${kind}`}>
      <line x1={0} x2={WIDTH} y1={y} y2={y} />
      <text x={WIDTH} y={y - 4} text-anchor="end">
        {name}
      </text>
    </g>
  )
}

function Drawing({ chart }: { chart: Chart }) {
  const { checks, limits, piece } = chart
  const { x, y } = scaleOf(chart)
  const path = checks.map(({ differenceDeg }, index) => `${x(index)},${y(differenceDeg)}`).join(' ')
  return (
    <svg class="check-chart" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={say.chart}>
      <Line y={y(piece.limitDeg)} kind="limit" name={signedDegrees(piece.limitDeg, 2)} />
      <Line y={y(-piece.limitDeg)} kind="limit" name={signedDegrees(-piece.limitDeg, 2)} />
      <Line y={y(0)} kind="zero" name="0" />
      {limits && <Line y={y(limits.upperDeg)} kind="control" name={say.upper} />}
      {limits && <Line y={y(limits.lowerDeg)} kind="control" name={say.lower} />}
      <polyline points={path} />
      {checks.map(({ id, at, differenceDeg, passed, isBeyond }, index) => (
        <circle
          key={id}
          cx={x(index)}
          cy={y(differenceDeg)}
          r={passed && !isBeyond ? 5 : 9}
          data-passed={passed && !isBeyond ? 'yes' : 'no'}
        >
          <title>{`${at}: ${signedDegrees(differenceDeg, 2)}`}</title>
        </circle>
      ))}
    </svg>
  )
}

/** Every check with a piece, oldest first, between the limit of the shop and those of its own scatter. */
export function CheckChart({ piece, asOf }: { piece: number; asOf: number }) {
  const { value, problem } = useAnswer(`chart ${piece} ${asOf}`, () => api.checkChart(piece))
  if (problem) return <p class="form-refused">{problem}</p>
  if (!value || value.checks.length === 0) return null
  return <Drawing chart={value} />
}
