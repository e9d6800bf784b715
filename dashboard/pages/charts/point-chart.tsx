import { useMemo, useRef } from 'preact/hooks'
import { type BendChart, useBendChart } from '../../widgets/use-bend-chart.ts'
import { chartWords as say } from '../../words/en-charts.ts'
import { pointChartOptions } from './point-chart-options.ts'
import { type ChartLines, type ChartPoint, columnsOf } from './point-columns.ts'

function chartOf(
  points: readonly ChartPoint[],
  lines: ChartLines,
  places: number,
): BendChart<ChartPoint> {
  return {
    points,
    data: columnsOf(points),
    placeOf: ({ place, deg }) => ({ x: place, y: deg }),
    optionsOf: (size, inks, shown) =>
      pointChartOptions(size, inks, { points, lines, places }, shown),
  }
}

/** Single values in the order in which they were bent; each opens its bend at a press. */
export function PointChart(props: {
  name: string
  axis: string
  points: readonly ChartPoint[]
  lines: ChartLines
  /** How many bends there are in the order, with those that have no value here. */
  places: number
  /** Writes one value. */
  write: (deg: number) => string
}) {
  const { name, axis, points, lines, places, write } = props
  const cell = useRef<HTMLDivElement>(null)
  const chart = useMemo(() => chartOf(points, lines, places), [points, lines, places])
  const pointed = useBendChart(cell, chart)

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
          {pointed ? say.at(pointed.id, write(pointed.deg), pointed.changed) : say.hint}
        </span>
        <span>{say.order}</span>
      </p>
    </figure>
  )
}
