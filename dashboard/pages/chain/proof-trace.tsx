import { useEffect, useRef } from 'preact/hooks'
import uPlot from 'uplot'
import type { ProofOfBend, ProvedBend } from '../../../server/messages/chain.ts'
import { theme } from '../../live/theme.ts'
import { type Inks, inksOf, labelled } from '../../widgets/trace-options.ts'
import { useSize } from '../../widgets/use-size.ts'
import { words } from '../../words/en.ts'

const { prove: say } = words.chain

/** Round steps of seconds and degrees between two numbers of an axis. */
const STEPS = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200]

const columns = (proof: ProofOfBend | null): uPlot.AlignedData => [
  Float64Array.from(proof?.trace.tS ?? []),
  Float64Array.from(proof?.trace.angleDeg ?? []),
]

/** Both traces over one time: each has its own samples, and none where the other alone has one. */
const tracesOf = ({ before, after }: ProvedBend): uPlot.AlignedData =>
  uPlot.join([columns(before), columns(after)])

function optionsOf(size: { widthPx: number; heightPx: number }, inks: Inks): uPlot.Options {
  const axis = {
    stroke: inks.soft,
    font: inks.font,
    grid: { show: true, stroke: inks.hair, width: 1 },
    ticks: { stroke: inks.soft, width: 1, size: 5 },
    incrs: STEPS,
  }
  const line = { spanGaps: true, points: { show: false } }
  return {
    width: size.widthPx,
    height: size.heightPx,
    pxAlign: false,
    legend: { show: false },
    cursor: { drag: { x: true, y: true } },
    padding: [8, 22, 0, 0],
    scales: { x: { time: false } },
    axes: [
      { ...axis, space: 70, size: 32, values: labelled(' s') },
      { ...axis, space: 30, size: 60, values: labelled('°') },
    ],
    series: [
      {},
      { ...line, stroke: inks.ink, width: 2 },
      { ...line, stroke: inks.pencil, width: 2.5, dash: [9, 5] },
    ],
  }
}

/** A bend's trace as its own chain saw it, and over it as the draft does. */
export function ProofTrace({ bend }: { bend: ProvedBend }) {
  const cell = useRef<HTMLDivElement>(null)
  const size = useSize(cell).value
  const ground = theme.value
  useEffect(() => {
    const target = cell.current
    if (!target || size.widthPx === 0) return
    const chart = new uPlot(optionsOf(size, inksOf(target)), tracesOf(bend), target)
    return () => chart.destroy()
  }, [size, ground, bend])
  return (
    <figure class="proof-figure">
      <div class="proof-trace" role="img" aria-label={say.trace(bend.id)} ref={cell} />
      <figcaption class="proof-keys">
        {(['recorded', 'draft'] as const).map((which) => (
          <span key={which}>
            <svg width="42" height="12" aria-hidden="true">
              <polyline class={`proof-key ${which}`} points="2,6 40,6" />
            </svg>
            {say[which]}
          </span>
        ))}
      </figcaption>
    </figure>
  )
}
