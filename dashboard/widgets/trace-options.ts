import type uPlot from 'uplot'
import { MINUS } from '../words/format.ts'
import type { GoMarks, TraceMarks } from './trace-marks.ts'
import { windowOf } from './trace-window.ts'

export interface Inks {
  readonly ink: string
  readonly soft: string
  readonly faint: string
  readonly hair: string
  readonly pencil: string
  readonly zone: string
  readonly prior: string
  readonly ground: string
  readonly font: string
}

/** The inks of the ground in force, from the style sheet: a canvas knows no style sheets. */
export function inksOf(element: Element): Inks {
  const style = getComputedStyle(element)
  const ink = (name: string) => style.getPropertyValue(name).trim()
  return {
    ink: ink('--ink'),
    soft: ink('--soft'),
    faint: ink('--faint'),
    hair: ink('--hair'),
    pencil: ink('--pencil'),
    zone: ink('--zone'),
    prior: ink('--prior'),
    ground: ink('--paper'),
    font: `${ink('--trace-text') || '13px'} ${style.fontFamily}`,
  }
}

/** At least this much of the chart's height is angle, so that noise before a bend looks like noise. */
const SHOWN_DEG_MIN = 10
/** Steps between two numbers on an axis: round ones only. */
const STEPS = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000]

/** A line at one angle over the whole width of a chart. */
export function drawLine(u: uPlot, deg: number, colour: string, dash: readonly number[]): void {
  const { ctx, bbox } = u
  const y = u.valToPos(deg, 'y', true)
  ctx.save()
  ctx.strokeStyle = colour
  ctx.lineWidth = 1.5 * devicePixelRatio
  ctx.setLineDash(dash.map((px) => px * devicePixelRatio))
  ctx.beginPath()
  ctx.moveTo(bbox.left, y)
  ctx.lineTo(bbox.left + bbox.width, y)
  ctx.stroke()
  ctx.restore()
}

function drawUnder(u: uPlot, marks: TraceMarks, inks: Inks) {
  const { ctx, bbox } = u
  const top = u.valToPos(marks.wantedDeg + marks.toleranceDeg, 'y', true)
  const bottom = u.valToPos(marks.wantedDeg - marks.toleranceDeg, 'y', true)
  // The chart remembers its own styles and does not set them again: leave them as they were.
  ctx.save()
  ctx.fillStyle = inks.zone
  ctx.fillRect(bbox.left, top, bbox.width, Math.max(2, bottom - top))
  ctx.restore()
  if (marks.commandedDeg !== null) drawLine(u, marks.commandedDeg, inks.pencil, [9, 4])
}

function drawMark(u: uPlot, mark: { atS: number; deg: number }, shape: number[][], ink: string) {
  const { ctx } = u
  const x = u.valToPos(mark.atS, 'x', true)
  const y = u.valToPos(mark.deg, 'y', true)
  const size = 6 * devicePixelRatio
  ctx.save()
  ctx.fillStyle = ink
  ctx.beginPath()
  for (const [dx = 0, dy = 0] of shape) ctx.lineTo(x + dx * size, y + dy * size)
  ctx.fill()
  ctx.restore()
}

const TRIANGLE = [
  [0, -0.4],
  [-0.9, -2],
  [0.9, -2],
]
const DIAMOND = [
  [0, -1],
  [1, 0],
  [0, 1],
  [-1, 0],
]
/** Lies against the line from the left, where the die came from. */
const WEDGE = [
  [-0.4, 0],
  [-2, -0.9],
  [-2, 0.9],
]

/** A bracket under the line, as long as it stood still. */
function drawPlateau(u: uPlot, { plateau }: GoMarks, ink: string) {
  if (plateau === null) return
  const { ctx } = u
  const [from, to] = [u.valToPos(plateau.fromS, 'x', true), u.valToPos(plateau.toS, 'x', true)]
  const px = devicePixelRatio
  const y = u.valToPos(plateau.deg, 'y', true) + 16 * px
  ctx.save()
  ctx.strokeStyle = ink
  ctx.lineWidth = 1.5 * px
  ctx.beginPath()
  ctx.moveTo(from, y - 6 * px)
  ctx.lineTo(from, y)
  ctx.lineTo(to, y)
  ctx.lineTo(to, y - 6 * px)
  ctx.stroke()
  ctx.restore()
}

/** A triangle on the peak, a diamond where it came to rest, a wedge where the stop was called. */
function drawGo(u: uPlot, go: GoMarks, ink: string) {
  drawMark(u, go.peak, TRIANGLE, ink)
  if (go.released) drawMark(u, go.released, DIAMOND, ink)
  if (go.cue) drawMark(u, go.cue, WEDGE, ink)
  drawPlateau(u, go, ink)
}

export const labelled = (unit: string) => (_: uPlot, splits: number[]) =>
  splits.map((split) => `${String(split).replace('-', MINUS)}${unit}`)

/** An axis of a chart in these inks, without lines across it. */
const plainAxis = (inks: Inks) => ({
  stroke: inks.soft,
  font: inks.font,
  grid: { show: false },
  ticks: { stroke: inks.soft, width: 1, size: 5 },
})

/** The same with hairlines across it. */
export const griddedAxis = (inks: Inks) => ({
  ...plainAxis(inks),
  grid: { show: true, stroke: inks.hair, width: 1 },
})

/** Options of a trace: angle over time, the target zone and the stop under it, the marks over it. */
export function traceOptions(
  size: { widthPx: number; heightPx: number },
  inks: Inks,
  marks: () => TraceMarks,
): uPlot.Options {
  const axis = plainAxis(inks)
  return {
    width: size.widthPx,
    height: size.heightPx,
    pxAlign: false,
    legend: { show: false },
    cursor: { show: false },
    padding: [8, 22, 0, 0],
    scales: {
      x: { time: false, range: (u) => windowOf(u.data[0], u.data[1] ?? []) },
      y: {
        range: (_, min, max) => {
          const { wantedDeg, toleranceDeg, commandedDeg } = marks()
          const top = Math.max(wantedDeg + toleranceDeg, commandedDeg ?? 0, max ?? 0, SHOWN_DEG_MIN)
          return [Math.min(0, min ?? 0), top * 1.06]
        },
      },
    },
    axes: [
      { ...axis, space: 80, size: 32, incrs: STEPS, values: labelled(' s') },
      { ...axis, space: 20, size: 52, incrs: STEPS, values: labelled('°') },
    ],
    series: [{}, { stroke: inks.ink, width: 2, points: { show: false } }],
    hooks: {
      drawClear: [(u) => drawUnder(u, marks(), inks)],
      draw: [
        (u) => {
          for (const go of marks().goes) drawGo(u, go, inks.ink)
        },
      ],
    },
  }
}
