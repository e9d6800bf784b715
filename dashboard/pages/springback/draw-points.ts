import type uPlot from 'uplot'
import type { SpringbackPoint } from '../../../server/messages/springback.ts'
import type { Inks } from '../../widgets/trace-options.ts'
import { isCrossed } from './chart-keys.tsx'

const RADIUS_PX = 5
const SHOWN_RADIUS_PX = 10

/** On the canvas, in its own pixels. */
function placeOn(u: uPlot, { loadedDeg, springbackDeg }: SpringbackPoint) {
  return { x: u.valToPos(loadedDeg, 'x', true), y: u.valToPos(springbackDeg, 'y', true) }
}

function cross(ctx: CanvasRenderingContext2D, x: number, y: number, reach: number) {
  ctx.moveTo(x - reach, y - reach)
  ctx.lineTo(x + reach, y + reach)
  ctx.moveTo(x + reach, y - reach)
  ctx.lineTo(x - reach, y + reach)
}

/** Filled: it counts. Hollow: from before a change. Hollow with a cross: set apart. A cross alone: taken out. */
function drawPoint(u: uPlot, point: SpringbackPoint, { ink, ground }: Inks): void {
  const { ctx } = u
  const { x, y } = placeOn(u, point)
  const radius = RADIUS_PX * devicePixelRatio
  const { standing } = point
  ctx.beginPath()
  if (!isCrossed(standing)) ctx.arc(x, y, radius, 0, 2 * Math.PI)
  ctx.fillStyle = standing === 'counts' ? ink : ground
  // A rim of the ground, so that bends on top of each other can be told apart.
  ctx.strokeStyle = standing === 'counts' ? ground : ink
  ctx.fill()
  if (standing === 'apart') cross(ctx, x, y, 1.5 * radius)
  if (isCrossed(standing)) cross(ctx, x, y, radius)
  ctx.stroke()
}

function drawRing(u: uPlot, point: SpringbackPoint): void {
  const { x, y } = placeOn(u, point)
  u.ctx.beginPath()
  u.ctx.arc(x, y, SHOWN_RADIUS_PX * devicePixelRatio, 0, 2 * Math.PI)
  u.ctx.stroke()
}

/** All bends, and a ring round the one that is pointed at. */
export function drawPoints(
  u: uPlot,
  points: readonly SpringbackPoint[],
  inks: Inks,
  shown: SpringbackPoint | null,
): void {
  const { ctx } = u
  ctx.save()
  ctx.strokeStyle = inks.ink
  ctx.lineWidth = 1.5 * devicePixelRatio
  for (const point of points) drawPoint(u, point, inks)
  if (shown) drawRing(u, shown)
  ctx.restore()
}

/** All bends that are left at the wanted angle: where this line meets the curve, the tube is to be taken. */
export function drawWanted(u: uPlot, wantedDeg: number, { pencil }: Inks): void {
  const { ctx, bbox } = u
  const topDeg = u.scales['y']?.max ?? 0
  ctx.save()
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height)
  ctx.clip()
  ctx.strokeStyle = pencil
  ctx.lineWidth = 2 * devicePixelRatio
  ctx.setLineDash([9 * devicePixelRatio, 4 * devicePixelRatio])
  ctx.beginPath()
  ctx.moveTo(u.valToPos(wantedDeg, 'x', true), u.valToPos(0, 'y', true))
  ctx.lineTo(u.valToPos(wantedDeg + topDeg, 'x', true), u.valToPos(topDeg, 'y', true))
  ctx.stroke()
  ctx.restore()
}
