import type uPlot from 'uplot'
import { drawLine, griddedAxis, type Inks, labelled } from '../../widgets/trace-options.ts'
import { type ChartLines, type ChartPoint, heightsOf } from './point-columns.ts'

const STEPS_DEG = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50]
const STEPS_BENDS = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000]

/** Told apart by shape: a dot; a square about what breaks a rule; a cross for what is void; a ring under the pointer. */
function drawPoint(u: uPlot, point: ChartPoint, inks: Inks, isShown: boolean) {
  const { ctx } = u
  const x = u.valToPos(point.place, 'x', true)
  const y = u.valToPos(point.deg, 'y', true)
  const px = devicePixelRatio
  ctx.save()
  ctx.strokeStyle = point.isVoid ? inks.faint : inks.ink
  ctx.fillStyle = inks.ink
  ctx.lineWidth = 1.5 * px
  ctx.beginPath()
  if (point.isVoid) {
    ctx.moveTo(x - 4 * px, y - 4 * px)
    ctx.lineTo(x + 4 * px, y + 4 * px)
    ctx.moveTo(x + 4 * px, y - 4 * px)
    ctx.lineTo(x - 4 * px, y + 4 * px)
    ctx.stroke()
  } else {
    ctx.arc(x, y, 2.5 * px, 0, 2 * Math.PI)
    ctx.fill()
  }
  if (point.isBroken) ctx.strokeRect(x - 6 * px, y - 6 * px, 12 * px, 12 * px)
  if (isShown) {
    ctx.beginPath()
    ctx.arc(x, y, 9 * px, 0, 2 * Math.PI)
    ctx.stroke()
  }
  ctx.restore()
}

/** Of more changes lines would hide the points: short marks at the top then. */
const CHANGE_LINES_MAX = 40
const CHANGE_MARK_PX = 10

/** A dotted line between two points where another bender, die or lot begins. */
function drawChanges(u: uPlot, points: readonly ChartPoint[], inks: Inks) {
  const { ctx, bbox } = u
  const places = points.flatMap(({ changed, place }) => (changed.length > 0 ? [place - 0.5] : []))
  const isFew = places.length <= CHANGE_LINES_MAX
  ctx.save()
  ctx.strokeStyle = inks.soft
  ctx.lineWidth = devicePixelRatio
  if (isFew) ctx.setLineDash([2 * devicePixelRatio, 4 * devicePixelRatio])
  ctx.beginPath()
  for (const place of places) {
    const x = u.valToPos(place, 'x', true)
    ctx.moveTo(x, bbox.top)
    ctx.lineTo(x, bbox.top + (isFew ? bbox.height : CHANGE_MARK_PX * devicePixelRatio))
  }
  ctx.stroke()
  ctx.restore()
}

/** Options of a chart of single values in order. `places`: how many there are, with those that have no value here. */
export function pointChartOptions(
  size: { widthPx: number; heightPx: number },
  inks: Inks,
  {
    points,
    lines,
    places,
  }: {
    readonly points: readonly ChartPoint[]
    readonly lines: ChartLines
    readonly places: number
  },
  shown: () => ChartPoint | null,
): uPlot.Options {
  const axis = griddedAxis(inks)
  const none = { show: false }
  return {
    width: size.widthPx,
    height: size.heightPx,
    pxAlign: false,
    legend: none,
    cursor: none,
    padding: [8, 18, 0, 0],
    scales: {
      x: { time: false, range: [0.5, places + 0.5] },
      y: { range: heightsOf(points, lines) },
    },
    axes: [
      { ...axis, space: 60, size: 32, incrs: STEPS_BENDS },
      { ...axis, space: 30, size: 62, incrs: STEPS_DEG, values: labelled('°') },
    ],
    series: [
      {},
      { width: 0, points: none },
      { width: 0, points: none },
      { stroke: inks.faint, width: 1, points: none },
    ],
    bands: [{ series: [1, 2], fill: inks.zone }],
    hooks: {
      draw: [
        (u) => {
          drawChanges(u, points, inks)
          for (const deg of lines.limitsDeg) drawLine(u, deg, inks.pencil, [9, 4])
          if (lines.centreDeg !== null) drawLine(u, lines.centreDeg, inks.soft, [])
          const at = shown()
          for (const point of points) drawPoint(u, point, inks, point === at)
        },
      ],
    },
  }
}
