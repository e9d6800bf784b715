import { useEffect, useRef } from 'preact/hooks'
import uPlot from 'uplot'
import { theme } from '../../live/theme.ts'
import { inksOf } from '../../widgets/trace-options.ts'
import { useSize } from '../../widgets/use-size.ts'
import { chartWords as say } from '../../words/en-charts.ts'
import { spreadChartOptions } from './spread-chart-options.ts'
import { type Spread, thatFit } from './spreads.ts'

/** Means side by side, each with its standard deviation; the table below them says the same, of all. */
export function SpreadChart(props: {
  name: string
  axis: string
  /** The same list as long as nothing in it changes. */
  spreads: readonly Spread[]
  fromZero?: boolean
}) {
  const { name, axis, spreads, fromZero = false } = props
  const cell = useRef<HTMLDivElement>(null)
  const size = useSize(cell).value
  const ground = theme.value

  useEffect(() => {
    const target = cell.current
    if (!target || size.widthPx === 0 || spreads.length === 0) return
    const shown = thatFit(spreads, size.widthPx)
    const data: uPlot.AlignedData = [
      shown.map((_, place) => place),
      shown.map(({ meanDeg }) => meanDeg),
    ]
    const plot = new uPlot(spreadChartOptions(size, inksOf(target), shown, fromZero), data, target)
    return () => plot.destroy()
  }, [size, ground, spreads, fromZero])

  if (spreads.length === 0) return null
  return (
    <figure class="point-figure">
      <p class="chart-axis" aria-hidden="true">
        {axis}
      </p>
      <div class="spread-chart" role="img" aria-label={say.spreads(name)} ref={cell} />
      <p class="chart-axis chart-axis-end" aria-hidden="true">
        <span>{say.spreadKey}</span>
      </p>
    </figure>
  )
}
