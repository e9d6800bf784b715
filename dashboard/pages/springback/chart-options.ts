import type uPlot from 'uplot'
import type { SpringbackPoint, SpringbackView } from '../../../server/messages/springback.ts'
import { griddedAxis, type Inks, labelled } from '../../widgets/trace-options.ts'
import { rangeOf } from './chart-range.ts'
import { drawPoints, drawWanted } from './draw-points.ts'

/** Steps between two numbers of loaded angle, and of springback: round ones only. Degrees. */
const LOADED_STEPS = [5, 10, 20, 30, 45, 60, 90]
const SPRINGBACK_STEPS = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50]

/** The curves as columns: loaded angle; the prior's low, high, middle; the same of what is known. */
export const dataOf = ({ loadedDeg, prior, posterior }: SpringbackView): uPlot.AlignedData => [
  loadedDeg,
  prior.lowDeg,
  prior.highDeg,
  prior.springbackDeg,
  posterior.lowDeg,
  posterior.highDeg,
  posterior.springbackDeg,
]

function seriesOf({ ink, soft, faint }: Inks): uPlot.Series[] {
  const points = { show: false }
  const edge = { width: 0, points }
  const hairline = { stroke: faint, width: 1, points }
  return [
    {},
    edge,
    edge,
    { stroke: soft, width: 1.5, dash: [3, 4], points },
    hairline,
    hairline,
    { stroke: ink, width: 2.5, points },
  ]
}

/** Options of the chart: what was believed before, what is known, and the bends. */
export function chartOptions(
  size: { widthPx: number; heightPx: number },
  inks: Inks,
  view: SpringbackView,
  shown: () => SpringbackPoint | null,
): uPlot.Options {
  const { endDeg, topDeg } = rangeOf(view)
  const axis = griddedAxis(inks)
  return {
    width: size.widthPx,
    height: size.heightPx,
    pxAlign: false,
    legend: { show: false },
    cursor: { show: false },
    padding: [8, 22, 0, 0],
    scales: { x: { time: false, range: [0, endDeg] }, y: { range: [0, topDeg] } },
    axes: [
      { ...axis, space: 60, size: 32, incrs: LOADED_STEPS, values: labelled('°') },
      { ...axis, space: 30, size: 52, incrs: SPRINGBACK_STEPS, values: labelled('°') },
    ],
    series: seriesOf(inks),
    bands: [
      { series: [2, 1], fill: inks.prior },
      { series: [5, 4], fill: inks.zone },
    ],
    hooks: {
      draw: [
        (u) => {
          drawWanted(u, view.wantedDeg, inks)
          drawPoints(u, view.points, inks, shown())
        },
      ],
    },
  }
}
