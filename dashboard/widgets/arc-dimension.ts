import { arcPath, arrowOnArc, polar } from './tube-geometry.ts'

const DEG_PER_RAD = 180 / Math.PI

export interface ArcDimension {
  readonly line: string
  readonly heads: string
}

const EMPTY: ArcDimension = { line: '', heads: '' }

/**
 * A dimension along an arc, as a drawing has it: arrows at both ends, or, where there is no room
 * between, arrows from outside that point at the gap.
 */
export function arcDimension(
  radiusPx: number,
  fromDeg: number,
  toDeg: number,
  arrowPx: number,
): ArcDimension {
  if (!(radiusPx > 0 && Math.abs(toDeg - fromDeg) > 0.02)) return EMPTY
  const [lowDeg, highDeg] = fromDeg < toDeg ? [fromDeg, toDeg] : [toDeg, fromDeg]
  const arrowDeg = (arrowPx / radiusPx) * DEG_PER_RAD
  if (highDeg - lowDeg > 3 * arrowDeg)
    return {
      line: arcPath(radiusPx, lowDeg, highDeg),
      heads:
        arrowOnArc(radiusPx, lowDeg, 'back', arrowPx) +
        arrowOnArc(radiusPx, highDeg, 'clockwise', arrowPx),
    }
  return {
    line:
      arcPath(radiusPx, lowDeg - 2.2 * arrowDeg, lowDeg) +
      arcPath(radiusPx, highDeg, highDeg + 2.2 * arrowDeg),
    heads:
      arrowOnArc(radiusPx, lowDeg, 'clockwise', arrowPx) +
      arrowOnArc(radiusPx, highDeg, 'back', arrowPx),
  }
}

/** A short line across the arc. */
export function tickPath(radiusPx: number, atDeg: number, inPx: number, outPx: number): string {
  const a = polar(radiusPx - inPx, atDeg)
  const b = polar(radiusPx + outPx, atDeg)
  return `M${a.x.toFixed(2)} ${a.y.toFixed(2)}L${b.x.toFixed(2)} ${b.y.toFixed(2)}`
}

export interface Label {
  readonly x: number
  readonly y: number
  readonly anchor: 'start' | 'middle' | 'end'
}

/** Where a label stands outside the arc, and on which side of its point it is written. */
export function labelAt(radiusPx: number, atDeg: number): Label {
  const { x, y } = polar(radiusPx, atDeg)
  const sideways = x / radiusPx
  if (sideways > 0.35) return { x, y, anchor: 'start' }
  return { x, y, anchor: sideways < -0.35 ? 'end' : 'middle' }
}

/** How far apart, along the arc, two labels of this height must be: more where they lie side by side. */
export function labelGapDeg(radiusPx: number, atDeg: number, textPx: number): number {
  const sideBySide = Math.abs(Math.cos(atDeg / DEG_PER_RAD))
  return ((textPx * (1.25 + 3.9 * sideBySide * sideBySide)) / radiusPx) * DEG_PER_RAD
}
