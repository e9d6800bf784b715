import { useEffect, useRef } from 'preact/hooks'
import uPlot from 'uplot'
import { theme } from '../live/theme.ts'
import { words } from '../words/en.ts'
import type { TraceMarks } from './trace-marks.ts'
import { inksOf, traceOptions } from './trace-options.ts'
import { useSize } from './use-size.ts'

/** The trace of a recorded bend. */
export function StillTrace(props: {
  tS: readonly number[]
  angleDeg: readonly number[]
  marks: TraceMarks
}) {
  const { tS, angleDeg, marks } = props
  const cell = useRef<HTMLDivElement>(null)
  const size = useSize(cell).value
  const ground = theme.value

  useEffect(() => {
    const target = cell.current
    if (!target || size.widthPx === 0) return
    const data: uPlot.AlignedData = [Float64Array.from(tS), Float64Array.from(angleDeg)]
    const chart = new uPlot(
      traceOptions(size, inksOf(target), () => marks),
      data,
      target,
    )
    return () => chart.destroy()
  }, [size, ground, tS, angleDeg, marks])

  return <div class="record-trace" role="img" aria-label={words.record.trace} ref={cell} />
}
