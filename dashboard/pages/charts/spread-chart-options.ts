import type uPlot from 'uplot'
import { drawLine, griddedAxis, type Inks, labelled } from '../../widgets/trace-options.ts'
import { endsOf, heightsOfSpreads, type Spread, shortened } from './spreads.ts'

const STEPS_DEG = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50]

/** A square on the mean, a bar of one standard deviation either way. */
function drawSpread(u: uPlot, spread: Spread, place: number, inks: Inks) {
  const { ctx } = u
  const px = devicePixelRatio
  const x = u.valToPos(place, 'x', true)
  const [low, high] = endsOf(spread).map((deg) => u.valToPos(deg, 'y', true)) as [number, number]
  const y = u.valToPos(spread.meanDeg, 'y', true)
  ctx.save()
  ctx.strokeStyle = inks.ink
  ctx.fillStyle = inks.ink
  ctx.lineWidth = 1.5 * px
  ctx.beginPath()
  ctx.moveTo(x, low)
  ctx.lineTo(x, high)
  for (const end of [low, high]) {
    ctx.moveTo(x - 8 * px, end)
    ctx.lineTo(x + 8 * px, end)
  }
  ctx.stroke()
  ctx.fillRect(x - 5 * px, y - 5 * px, 10 * px, 10 * px)
  ctx.restore()
}

/** Options of a chart of means side by side. `fromZero`: with a line where nothing would be off. */
export function spreadChartOptions(
  size: { widthPx: number; heightPx: number },
  inks: Inks,
  spreads: readonly Spread[],
  fromZero: boolean,
): uPlot.Options {
  const axis = griddedAxis(inks)
  const places = spreads.map((_, place) => place)
  const names = spreads.map(({ name }) => shortened(name))
  return {
    width: size.widthPx,
    height: size.heightPx,
    pxAlign: false,
    legend: { show: false },
    cursor: { show: false },
    padding: [8, 18, 0, 0],
    scales: {
      x: { time: false, range: [-0.5, spreads.length - 0.5] },
      y: { range: heightsOfSpreads(spreads, fromZero) },
    },
    axes: [
      { ...axis, grid: { show: false }, size: 32, splits: () => places, values: () => names },
      { ...axis, space: 30, size: 62, incrs: STEPS_DEG, values: labelled('°') },
    ],
    series: [{}, { width: 0, points: { show: false } }],
    hooks: {
      draw: [
        (u) => {
          if (fromZero) drawLine(u, 0, inks.soft, [])
          for (const [place, spread] of spreads.entries()) drawSpread(u, spread, place, inks)
        },
      ],
    },
  }
}
