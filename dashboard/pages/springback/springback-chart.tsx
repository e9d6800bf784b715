import { useEffect, useRef, useState } from 'preact/hooks'
import uPlot from 'uplot'
import type { SpringbackPoint, SpringbackView } from '../../../server/messages/springback.ts'
import { theme } from '../../live/theme.ts'
import { nearestPoint } from '../../widgets/nearest-point.ts'
import { inksOf } from '../../widgets/trace-options.ts'
import { useSize } from '../../widgets/use-size.ts'
import { words } from '../../words/en.ts'
import { degrees } from '../../words/format.ts'
import { ChartKeys } from './chart-keys.tsx'
import { chartOptions, dataOf } from './chart-options.ts'

const { chart: say } = words.springback

const open = (point: SpringbackPoint | null) => {
  if (point) location.hash = `#/history/${point.id}`
}

/** Tells which bend the pointer is on, and opens it at a press. @returns how to stop. */
function followPointer(
  chart: uPlot,
  points: readonly SpringbackPoint[],
  onPoint: (point: SpringbackPoint | null) => void,
): () => void {
  const at = ({ offsetX, offsetY }: MouseEvent) =>
    nearestPoint(
      points,
      ({ loadedDeg, springbackDeg }) => ({
        xPx: chart.valToPos(loadedDeg, 'x'),
        yPx: chart.valToPos(springbackDeg, 'y'),
      }),
      { xPx: offsetX, yPx: offsetY },
    )
  const move = (event: MouseEvent) => onPoint(at(event))
  const leave = () => onPoint(null)
  const press = (event: MouseEvent) => open(at(event))
  chart.over.addEventListener('mousemove', move)
  chart.over.addEventListener('mouseleave', leave)
  chart.over.addEventListener('click', press)
  return () => {
    chart.over.removeEventListener('mousemove', move)
    chart.over.removeEventListener('mouseleave', leave)
    chart.over.removeEventListener('click', press)
  }
}

const shownText = (point: SpringbackPoint | null) =>
  point ? say.at(point.id, degrees(point.loadedDeg, 1), degrees(point.springbackDeg, 2)) : say.hint

/** Springback over the loaded angle: before its bends, with them, and the bends themselves. */
export function SpringbackChart({ view }: { view: SpringbackView }) {
  const cell = useRef<HTMLDivElement>(null)
  const shown = useRef<SpringbackPoint | null>(null)
  const [pointed, setPointed] = useState<SpringbackPoint | null>(null)
  const size = useSize(cell).value
  const ground = theme.value

  useEffect(() => {
    const target = cell.current
    if (!target || size.widthPx === 0) return
    shown.current = null
    const options = chartOptions(size, inksOf(target), view, () => shown.current)
    const chart = new uPlot(options, dataOf(view), target)
    const stop = followPointer(chart, view.points, (point) => {
      if (point === shown.current) return
      shown.current = point
      setPointed(point)
      chart.redraw(false)
    })
    return () => {
      stop()
      chart.destroy()
    }
  }, [size, ground, view])

  return (
    <figure class="springback-figure">
      <p class="chart-axis" aria-hidden="true">
        {say.springback}
      </p>
      <div
        class="springback-chart"
        role="img"
        aria-label={say.label(view.points.length, degrees(view.loadedDeg.at(-1) ?? 0, 0))}
        data-on={pointed?.id}
        ref={cell}
      />
      <p class="chart-axis chart-axis-end" aria-hidden="true">
        <span class="chart-at">{view.points.length > 0 && shownText(pointed)}</span>
        <span>{say.loaded}</span>
      </p>
      <ChartKeys view={view} />
    </figure>
  )
}
