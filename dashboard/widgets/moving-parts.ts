import type { RefObject } from 'preact'
import type { Go } from '../../server/messages/bends.ts'
import { leftDeg } from '../live/shown-angle.ts'
import { words } from '../words/en.ts'
import { degrees } from '../words/format.ts'
import { arcDimension } from './arc-dimension.ts'
import { DIMENSION_OUT_PX, dimensionLettering } from './drawing-labels.ts'
import { arcPath, arrowOnArc, type Layout, sweepOf, tubePaths } from './tube-geometry.ts'

/** The parts of the drawing that follow the tube, written past the view library each frame. */
export interface MovingParts {
  readonly turning: RefObject<SVGGElement | null>
  readonly band: RefObject<SVGPathElement | null>
  readonly walls: RefObject<SVGPathElement | null>
  readonly centreline: RefObject<SVGPathElement | null>
  readonly breaks: RefObject<SVGPathElement | null>
  readonly swept: RefObject<SVGPathElement | null>
  readonly sweptHead: RefObject<SVGPathElement | null>
  readonly toGo: RefObject<SVGPathElement | null>
  readonly toGoHeads: RefObject<SVGPathElement | null>
  readonly toGoText: RefObject<SVGTextElement | null>
}

export interface Moment {
  readonly angleDeg: number
  /** As the digits have it: what the drawing says in words agrees with them. */
  readonly shownDeg: number
  readonly commandedDeg: number | null
  readonly hasDatum: boolean
  /** Once let off, the dimension is the springback. */
  readonly settled: Go | null
}

/** A sensor that runs away is not drawn round and round. */
const DRAWN_DEG_MIN = -15
const DRAWN_DEG_MAX = 230

const arrowPx = (textPx: number) => textPx * 0.62

const set = (part: RefObject<SVGElement | null>, name: string, value: string) =>
  part.current?.setAttribute(name, value)

/** What the second dimension spans and says: to the stop, past it, or the springback. */
function dimensionOf(moment: Moment): { fromDeg: number; toDeg: number; text: string } | null {
  const { angleDeg, shownDeg, commandedDeg, settled } = moment
  if (settled && settled.releasedDeg !== null) {
    const { releasedDeg, peakDeg } = settled
    const text = `${words.drawing.springback} ${degrees(peakDeg - releasedDeg)}`
    return { fromDeg: releasedDeg, toDeg: peakDeg, text }
  }
  if (!moment.hasDatum || commandedDeg === null) return null
  const toGoDeg = leftDeg(commandedDeg, shownDeg)
  const text = toGoDeg < 0 ? `${words.drawing.past} ${degrees(-toGoDeg)}` : degrees(toGoDeg)
  return { fromDeg: angleDeg, toDeg: commandedDeg, text }
}

function drawToGo(parts: MovingParts, layout: Layout, moment: Moment, textPx: number) {
  const { radius, aheadDeg } = sweepOf(layout.shape)
  const span = dimensionOf(moment)
  const text = parts.toGoText.current
  const at = radius + DIMENSION_OUT_PX
  const drawn = span
    ? arcDimension(at, aheadDeg + span.fromDeg, aheadDeg + span.toDeg, arrowPx(textPx))
    : { line: '', heads: '' }
  set(parts.toGo, 'd', drawn.line)
  set(parts.toGoHeads, 'd', drawn.heads)
  if (!text) return
  text.textContent = span?.text ?? ''
  if (!span) return
  const { at: label } = dimensionLettering(layout.shape, span, moment.commandedDeg, textPx)
  text.setAttribute('x', label.x.toFixed(1))
  text.setAttribute('y', label.y.toFixed(1))
  text.setAttribute('text-anchor', label.anchor)
}

/** Draws the tube, the turning die and what is left, for one angle. */
export function drawMoving(parts: MovingParts, layout: Layout, moment: Moment): void {
  const clamped = Math.min(DRAWN_DEG_MAX, Math.max(DRAWN_DEG_MIN, moment.angleDeg))
  const tubeDeg = moment.hasDatum ? Math.max(0, clamped) : 0
  const paths = tubePaths(layout.shape, tubeDeg)
  set(parts.turning, 'transform', `rotate(${clamped.toFixed(3)})`)
  for (const name of ['band', 'walls', 'centreline', 'breaks'] as const)
    set(parts[name], 'd', paths[name])
  const textPx = Number(parts.toGoText.current?.getAttribute('data-text-px') ?? 16)
  const { radius, aheadDeg } = sweepOf(layout.shape)
  const at = radius + DIMENSION_OUT_PX
  const isBent = tubeDeg > 0.5
  set(parts.swept, 'd', isBent ? arcPath(at, aheadDeg, aheadDeg + tubeDeg) : '')
  set(
    parts.sweptHead,
    'd',
    isBent ? arrowOnArc(at, aheadDeg + tubeDeg, 'clockwise', arrowPx(textPx)) : '',
  )
  drawToGo(parts, layout, moment, textPx)
}
