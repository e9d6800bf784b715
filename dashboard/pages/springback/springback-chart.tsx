import { useMemo, useRef } from 'preact/hooks'
import type { SpringbackPoint, SpringbackView } from '../../../server/messages/springback.ts'
import { type BendChart, useBendChart } from '../../widgets/use-bend-chart.ts'
import { words } from '../../words/en.ts'
import { degrees } from '../../words/format.ts'
import { ChartKeys } from './chart-keys.tsx'
import { chartOptions, dataOf } from './chart-options.ts'

const { chart: say } = words.springback

const chartOf = (view: SpringbackView): BendChart<SpringbackPoint> => ({
  points: view.points,
  data: dataOf(view),
  placeOf: ({ loadedDeg, springbackDeg }) => ({ x: loadedDeg, y: springbackDeg }),
  optionsOf: (size, inks, shown) => chartOptions(size, inks, view, shown),
})

const shownText = (point: SpringbackPoint | null) =>
  point ? say.at(point.id, degrees(point.loadedDeg, 1), degrees(point.springbackDeg, 2)) : say.hint

/** Springback over the loaded angle: before its bends, with them, and the bends themselves. */
export function SpringbackChart({ view }: { view: SpringbackView }) {
  const cell = useRef<HTMLDivElement>(null)
  const chart = useMemo(() => chartOf(view), [view])
  const pointed = useBendChart(cell, chart)

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
