import { useEffect, useRef } from 'preact/hooks'
import uPlot from 'uplot'
import type { StationState } from '../../server/messages/live.ts'
import { useStation } from '../live/context.ts'
import { eachFrame } from '../live/frame.ts'
import { theme } from '../live/theme.ts'
import { words } from '../words/en.ts'
import { liveMarks } from './trace-marks.ts'
import { inksOf, traceOptions } from './trace-options.ts'
import { useSize } from './use-size.ts'

/** The trace of the bend in hand. At most one drawing an animation frame, and only for new points. */
export function LiveTrace(props: {
  state: StationState
  commandedDeg: number | null
  field: 'calm' | 'stop' | 'past'
}) {
  const { trace, traceNumber, omitted } = useStation()
  const cell = useRef<HTMLDivElement>(null)
  const size = useSize(cell).value
  const marks = useRef(liveMarks(props.state, props.commandedDeg))
  marks.current = liveMarks(props.state, props.commandedDeg)
  const inkedFor = `${theme.value} ${props.field}`

  useEffect(() => {
    const target = cell.current
    if (!target || size.widthPx === 0) return
    const options = traceOptions(size, inksOf(target), () => marks.current)
    const chart = new uPlot(options, trace.view(), target)
    let drawn = ''
    const stop = eachFrame(() => {
      const [go] = marks.current.goes
      const now = `${traceNumber.value} ${trace.length} ${trace.view()[0].at(-1)} ${go?.peak.atS} ${go?.released?.atS}`
      if (now === drawn) return
      drawn = now
      chart.setData(trace.view())
    })
    return () => {
      stop()
      chart.destroy()
    }
  }, [size, inkedFor, trace, traceNumber])

  return (
    <figure class="trace">
      <figcaption>
        {words.trace.label}
        {omitted.value > 0 && <em> {words.trace.omitted(omitted.value)}</em>}
      </figcaption>
      <div class="trace-cell" ref={cell} />
    </figure>
  )
}
