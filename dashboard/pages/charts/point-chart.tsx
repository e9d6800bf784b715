import { useEffect, useRef, useState } from 'preact/hooks'
import uPlot from 'uplot'
import { theme } from '../../live/theme.ts'
import { nearestPoint } from '../../widgets/nearest-point.ts'
import { inksOf } from '../../widgets/trace-options.ts'
import { useSize } from '../../widgets/use-size.ts'
import { chartWords as say } from '../../words/en-charts.ts'
import { signedDegrees } from '../../words/format.ts'
import { pointChartOptions } from './point-chart-options.ts'
import { type ChartLines, type ChartPoint, columnsOf } from './point-columns.ts'

function openBend(point: ChartPoint | null): void {
  if (point) location.hash = `#/history/${point.id}`
}

/** Tells which bend the pointer is on, and opens it at a press. @returns how to stop. */
function followPointer(
  chart: uPlot,
  points: readonly ChartPoint[],
  onPoint: (point: ChartPoint | null) => void,
): () => void {
  const placeOf = new Map(points.map((point, place) => [point, place + 1]))
  const at = ({ offsetX, offsetY }: MouseEvent) =>
    nearestPoint(
      points,
      (point) => ({
        xPx: chart.valToPos(placeOf.get(point) ?? 0, 'x'),
        yPx: chart.valToPos(point.deg, 'y'),
      }),
      { xPx: offsetX, yPx: offsetY },
    )
  const controller = new AbortController()
  const until = { signal: controller.signal }
  chart.over.addEventListener('mousemove', (event) => onPoint(at(event)), until)
  chart.over.addEventListener('mouseleave', () => onPoint(null), until)
  chart.over.addEventListener('click', (event) => openBend(at(event)), until)
  return () => controller.abort()
}

/** Single values in the order in which they were bent; each opens its bend at a press. */
export function PointChart(props: {
  name: string
  axis: string
  points: readonly ChartPoint[]
  lines: ChartLines
}) {
  const { name, axis, points, lines } = props
  const cell = useRef<HTMLDivElement>(null)
  const shown = useRef<ChartPoint | null>(null)
  const [pointed, setPointed] = useState<ChartPoint | null>(null)
  const size = useSize(cell).value
  const ground = theme.value

  useEffect(() => {
    const target = cell.current
    if (!target || size.widthPx === 0) return
    shown.current = null
    const options = pointChartOptions(size, inksOf(target), { points, lines }, () => shown.current)
    const chart = new uPlot(options, columnsOf(points), target)
    const stop = followPointer(chart, points, (point) => {
      if (point === shown.current) return
      shown.current = point
      setPointed(point)
      chart.redraw(false)
    })
    return () => {
      stop()
      chart.destroy()
    }
  }, [size, ground, points, lines])

  return (
    <figure class="point-figure">
      <p class="chart-axis" aria-hidden="true">
        {axis}
      </p>
      <div
        class="point-chart"
        role="img"
        aria-label={say.label(name, points.length)}
        data-on={pointed?.id}
        ref={cell}
      />
      <p class="chart-axis chart-axis-end" aria-hidden="true">
        <span class="chart-at">
          {pointed ? say.at(pointed.id, signedDegrees(pointed.deg, 2)) : say.hint}
        </span>
        <span>{say.order}</span>
      </p>
    </figure>
  )
}
