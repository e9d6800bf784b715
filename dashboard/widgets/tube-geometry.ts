/**
 * The drawing of a tube on its die, about the die's centre: x to the right, y down, any one unit.
 * The tube comes in from the left, touches the die at its top, and is drawn round it clockwise; its
 * leg turns with the die as one rigid piece.
 */
export interface Point {
  readonly x: number
  readonly y: number
}

const RAD_PER_DEG = Math.PI / 180

/** A point at a radius, `angleDeg` clockwise from straight up. */
export const polar = (radius: number, angleDeg: number): Point => ({
  x: radius * Math.sin(angleDeg * RAD_PER_DEG),
  y: -radius * Math.cos(angleDeg * RAD_PER_DEG),
})

/** `along` the leg of a tube bent to `angleDeg`, from its tangent point, at `radius` from the die. */
export function onLeg(radius: number, along: number, angleDeg: number): Point {
  const foot = polar(radius, angleDeg)
  const ahead = polar(along, angleDeg + 90)
  return { x: foot.x + ahead.x, y: foot.y + ahead.y }
}

const at = ({ x, y }: Point) => `${x.toFixed(2)} ${y.toFixed(2)}`

/** The SVG commands of an arc about the centre that starts where the pen is. */
function arcTo(radius: number, fromDeg: number, toDeg: number): string {
  const isLarge = Math.abs(toDeg - fromDeg) > 180 ? 1 : 0
  const isClockwise = toDeg > fromDeg ? 1 : 0
  const r = radius.toFixed(2)
  return `A${r} ${r} 0 ${isLarge} ${isClockwise} ${at(polar(radius, toDeg))}`
}

export const arcPath = (radius: number, fromDeg: number, toDeg: number): string =>
  `M${at(polar(radius, fromDeg))}${arcTo(radius, fromDeg, toDeg)}`

/** Line lengths of the drawing, all in one unit. */
export interface Shape {
  readonly clr: number
  readonly od: number
  /** Length of tube shown before the tangent point. */
  readonly arm: number
  /** Length of tube shown behind the bend. */
  readonly leg: number
}

/** One line along the tube at `radius`: straight in, round the die to `angleDeg`, straight out. */
function alongTube({ arm, leg }: Shape, radius: number, angleDeg: number): string {
  const start = at({ x: -arm, y: -radius })
  const end = at(onLeg(radius, leg, angleDeg))
  return `M${start}L${at(polar(radius, 0))}${arcTo(radius, 0, angleDeg)}L${end}`
}

/** A tube cut off on a drawing ends in an S with one loop: the usual break of a hollow round. */
function breakAt({ clr, od }: Shape, along: number, angleDeg: number): string {
  const half = od / 2
  const bulge = half * 0.6
  const point = (across: number, ahead: number) =>
    at(onLeg(clr + across * half, along + ahead, angleDeg))
  return (
    `M${point(1, 0)}Q${point(0.5, bulge)} ${point(0, 0)}` +
    `Q${point(-0.5, -bulge)} ${point(-1, 0)}Q${point(-0.5, bulge)} ${point(0, 0)}`
  )
}

export interface TubePaths {
  /** The whole band, for its fill. */
  readonly band: string
  /** Both walls, for their lines. */
  readonly walls: string
  readonly centreline: string
  readonly breaks: string
}

export function tubePaths(shape: Shape, angleDeg: number): TubePaths {
  const { clr, od } = shape
  const outer = clr + od / 2
  const inner = clr - od / 2
  const outerLine = alongTube(shape, outer, angleDeg)
  const back = `L${at(onLeg(inner, shape.leg, angleDeg))}L${at(polar(inner, angleDeg))}`
  const band = `${outerLine}${back}${arcTo(inner, angleDeg, 0)}L${at({ x: -shape.arm, y: -inner })}Z`
  return {
    band,
    walls: outerLine + alongTube(shape, inner, angleDeg),
    centreline: alongTube(shape, clr, angleDeg),
    breaks: breakAt(shape, shape.leg, angleDeg) + breakAt(shape, -shape.arm, 0),
  }
}

/** Where the end of the leg runs: its radius, and how far it is ahead of the bend's angle. */
export function sweepOf({ clr, leg }: Shape): { radius: number; aheadDeg: number } {
  return { radius: Math.hypot(clr, leg), aheadDeg: Math.atan2(leg, clr) / RAD_PER_DEG }
}

/** The tip of an arrow on an arc: a slim filled triangle that points along the arc. */
export function arrowOnArc(
  radius: number,
  tipDeg: number,
  towards: 'clockwise' | 'back',
  size: number,
): string {
  const turnDeg = (size / radius / RAD_PER_DEG) * (towards === 'clockwise' ? -1 : 1)
  const a = polar(radius + size * 0.28, tipDeg + turnDeg)
  const b = polar(radius - size * 0.28, tipDeg + turnDeg)
  return `M${at(polar(radius, tipDeg))}L${at(a)}L${at(b)}Z`
}

export interface Box {
  readonly left: number
  readonly top: number
  readonly right: number
  readonly bottom: number
}

const SWEEP_STEP_DEG = 3

/** Everything the drawing covers while the tube goes from straight to `maxDeg`. */
export function boundsOf(shape: Shape, maxDeg: number): Box {
  const { clr, od, arm, leg } = shape
  const { radius, aheadDeg } = sweepOf(shape)
  const points: Point[] = [
    { x: -arm, y: -(clr + od * 1.25) },
    { x: -clr, y: clr },
    { x: clr, y: clr },
  ]
  for (let deg = 0; deg <= maxDeg + SWEEP_STEP_DEG; deg += SWEEP_STEP_DEG) {
    points.push(polar(radius, aheadDeg + deg), onLeg(clr + od / 2, leg, deg))
  }
  const xs = points.map(({ x }) => x)
  const ys = points.map(({ y }) => y)
  return {
    left: Math.min(...xs),
    top: Math.min(...ys),
    right: Math.max(...xs),
    bottom: Math.max(...ys),
  }
}

export interface Layout {
  readonly shape: Shape
  readonly centre: Point
}

/** Never draw nothing: a cell that is not laid out yet counts as this wide and high. */
const CELL_PX_MIN = 40
/** Lettering does not shrink with the drawing, so the scale is found by trying. */
const SHRINK = 0.98
const TRIES_MAX = 80

const around = (boxes: readonly Box[]): Box => ({
  left: Math.min(...boxes.map(({ left }) => left)),
  top: Math.min(...boxes.map(({ top }) => top)),
  right: Math.max(...boxes.map(({ right }) => right)),
  bottom: Math.max(...boxes.map(({ bottom }) => bottom)),
})

/**
 * Puts die and tube, to scale, into a cell of so many pixels, as large as they go with `padPx` free all
 * round and with room for what `lettering` says is written beside them.
 */
export function layOut(
  tube: { clrMm: number; odMm: number },
  maxDeg: number,
  cell: { widthPx: number; heightPx: number },
  padPx: number,
  lettering: (shape: Shape) => readonly Box[] = () => [],
): Layout {
  const { clrMm: clr, odMm: od } = tube
  const arm = Math.max(clr * 0.95, od * 2.6)
  const leg = Math.max(clr * 1.25, od * 3.2)
  const boxMm = boundsOf({ clr, od, arm, leg }, maxDeg)
  const widthPx = Math.max(CELL_PX_MIN, cell.widthPx - 2 * padPx)
  const heightPx = Math.max(CELL_PX_MIN, cell.heightPx - 2 * padPx)
  let scale = Math.min(widthPx / (boxMm.right - boxMm.left), heightPx / (boxMm.bottom - boxMm.top))
  for (let tries = 0; ; tries++) {
    const shape = { clr: clr * scale, od: od * scale, arm: arm * scale, leg: leg * scale }
    const box = around([boundsOf(shape, maxDeg), ...lettering(shape)])
    const fits = box.right - box.left <= widthPx + 1e-9 && box.bottom - box.top <= heightPx + 1e-9
    if (fits || tries >= TRIES_MAX)
      return {
        shape,
        centre: {
          x: (cell.widthPx - box.left - box.right) / 2,
          y: (cell.heightPx - box.top - box.bottom) / 2,
        },
      }
    scale *= SHRINK
  }
}
