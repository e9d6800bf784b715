import { useRef } from 'preact/hooks'
import type { CheckChart as Chart } from '../../../server/messages/readout.ts'
import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { useSize } from '../../widgets/use-size.ts'
import { words } from '../../words/en.ts'
import { signedDegrees } from '../../words/format.ts'
import { labelPlaces } from './chart-labels.ts'

const HEIGHT_PX = 220
const MARGIN_PX = 24
/** Right of the lines, for their names at the letters' height of 15 px. */
const NAMES_PX = 124
const NAMES_APART_PX = 16
const { piece: say } = words.sensor

/** Where a difference stands on the sheet, px from the top, and a check, px from the left. */
function scaleOf({ checks, limits, piece }: Chart, widthPx: number) {
  const reachDeg = Math.max(
    piece.limitDeg,
    ...checks.map(({ differenceDeg }) => Math.abs(differenceDeg)),
    Math.abs(limits?.upperDeg ?? 0),
    Math.abs(limits?.lowerDeg ?? 0),
  )
  const half = HEIGHT_PX / 2 - MARGIN_PX
  const y = (deg: number) => HEIGHT_PX / 2 - (deg / (reachDeg * 1.1)) * half
  const endPx = widthPx - NAMES_PX
  const step = (endPx - 2 * MARGIN_PX) / Math.max(1, checks.length - 1)
  return { y, endPx, x: (index: number) => MARGIN_PX + index * step }
}

/** The lines that the checks are held against, each with its name. */
function linesOf({ limits, piece }: Chart) {
  const shop = [
    { kind: 'limit', deg: piece.limitDeg, name: signedDegrees(piece.limitDeg, 2) },
    { kind: 'zero', deg: 0, name: '0' },
    { kind: 'limit', deg: -piece.limitDeg, name: signedDegrees(-piece.limitDeg, 2) },
  ]
  if (limits === null) return shop
  return [
    ...shop,
    { kind: 'control', deg: limits.upperDeg, name: say.upper },
    { kind: 'control', deg: limits.lowerDeg, name: say.lower },
  ]
}

function Lines({ chart, y, endPx }: { chart: Chart; y(deg: number): number; endPx: number }) {
  const lines = linesOf(chart)
  const places = labelPlaces(
    lines.map(({ deg }) => y(deg)),
    NAMES_APART_PX,
    HEIGHT_PX,
  )
  return lines.map(({ kind, deg, name }, index) => (
    <g key={name} class={`chart-${kind}`}>
      <line x1={0} x2={endPx} y1={y(deg)} y2={y(deg)} />
      <text x={endPx + 6} y={places[index]}>
        {name}
      </text>
    </g>
  ))
}

function Drawing({ chart, widthPx }: { chart: Chart; widthPx: number }) {
  const { checks } = chart
  const { x, y, endPx } = scaleOf(chart, widthPx)
  const path = checks.map(({ differenceDeg }, index) => `${x(index)},${y(differenceDeg)}`).join(' ')
  return (
    <svg width={widthPx} height={HEIGHT_PX} role="img" aria-label={say.chart}>
      <Lines {...{ chart, y, endPx }} />
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
  const sheet = useRef<HTMLDivElement>(null)
  const { widthPx } = useSize(sheet).value
  if (problem) return <p class="form-refused">{problem}</p>
  const hasChecks = value !== null && value.checks.length > 0
  return (
    <div class="check-chart" data-drawn={hasChecks ? 'yes' : 'no'} ref={sheet}>
      {hasChecks && widthPx > 0 && <Drawing chart={value} widthPx={widthPx} />}
    </div>
  )
}
