import type { SignedAxis } from '../../../server/messages/sensor.ts'

type Vector = readonly [x: number, y: number, z: number]
/** A point of the picture, px; y goes down. */
export type Point = readonly [x: number, y: number]

const PX = 40
/** Half the sensor's length, width and height: unlike, so that no side looks like another. */
const HALF: Vector = [1.4, 0.95, 0.35]
const PLATE: readonly [x: number, y: number] = [1.3, 1.75]

/**
 * Where the sensor's own axes x, y, z point on each side, right-handed; z of the world is up. On edge and on
 * end the face that bears the chip looks at the reader.
 */
const POSES: Readonly<Record<SignedAxis, readonly [Vector, Vector, Vector]>> = {
  '+z': [
    [0, 1, 0],
    [-1, 0, 0],
    [0, 0, 1],
  ],
  '-z': [
    [0, 1, 0],
    [1, 0, 0],
    [0, 0, -1],
  ],
  '+x': [
    [0, 0, 1],
    [0, -1, 0],
    [1, 0, 0],
  ],
  '-x': [
    [0, 0, -1],
    [0, 1, 0],
    [1, 0, 0],
  ],
  '+y': [
    [0, 1, 0],
    [0, 0, 1],
    [1, 0, 0],
  ],
  '-y': [
    [0, -1, 0],
    [0, 0, -1],
    [1, 0, 0],
  ],
}

/** The arrow that says up starts so far above; higher where the letters lie on top. */
const UP_FROM = 0.15
const UP_FROM_OVER_LETTERS = 1.15
const UP_LENGTH = 0.95

/** Isometric, seen from above: x comes down to the left, y down to the right. */
const project = ([x, y, z]: Vector): Point => [
  PX * (y - x) * Math.cos(Math.PI / 6),
  PX * ((x + y) * Math.sin(Math.PI / 6) - z),
]

const at = (value: readonly number[], place: number) => value[place] ?? 0

/** A point of the sensor's own, where it is in the world: it stands on the plate, at nought. */
function placed(side: SignedAxis, own: Vector): Vector {
  const pose = POSES[side]
  const world = (axis: number) =>
    pose.reduce((sum, direction, i) => sum + at(own, i) * at(direction, axis), 0)
  return [world(0), world(1), world(2) + halfOf(side)[2]]
}

/** Half of what the sensor takes up along the axes of the world. */
function halfOf(side: SignedAxis): Vector {
  const along = (axis: number) =>
    POSES[side].reduce((sum, direction, i) => sum + at(HALF, i) * Math.abs(at(direction, axis)), 0)
  return [along(0), along(1), along(2)]
}

/** Everything that the picture of a side is drawn from. */
export interface SideShape {
  readonly plate: readonly Point[]
  /** The faces that are seen: left, right and top. */
  readonly faces: readonly (readonly Point[])[]
  readonly chip: readonly Point[]
  /** The chip looks down: it and its arrows are behind. */
  readonly isChipBehind: boolean
  /** As printed beside a chip: from where the arrow of an axis starts to its tip, and its letter. */
  readonly arrows: readonly {
    readonly name: string
    readonly way: readonly [Point, Point, Point]
  }[]
  /** From the top up. */
  readonly up: readonly [Point, Point]
}

/** The sensor on one of its sides, on a level plate. */
export function sideShape(side: SignedAxis): SideShape {
  const [hx, hy, hz] = halfOf(side)
  const [px, py] = PLATE
  const top = 2 * hz
  const upFrom = top + (side === '+z' ? UP_FROM_OVER_LETTERS : UP_FROM)
  const corners = (points: readonly Vector[]) => points.map(project)
  const own = (x: number, y: number) => project(placed(side, [x, y, HALF[2]]))
  const arrow = (
    name: string,
    tip: readonly [number, number],
    letter: readonly [number, number],
  ) => ({
    name,
    way: [own(-0.95, -0.55), own(...tip), own(...letter)] as const,
  })
  return {
    plate: corners([
      [px, py, 0],
      [px, -py, 0],
      [-px, -py, 0],
      [-px, py, 0],
    ]),
    faces: [
      corners([
        [hx, -hy, 0],
        [hx, hy, 0],
        [hx, hy, top],
        [hx, -hy, top],
      ]),
      corners([
        [hx, hy, 0],
        [-hx, hy, 0],
        [-hx, hy, top],
        [hx, hy, top],
      ]),
      corners([
        [hx, hy, top],
        [-hx, hy, top],
        [-hx, -hy, top],
        [hx, -hy, top],
      ]),
    ],
    chip: [own(0, -0.15), own(0.75, -0.15), own(0.75, 0.55), own(0, 0.55)],
    isChipBehind: side === '-z',
    arrows: [arrow('x', [0.7, -0.55], [1.05, -0.55]), arrow('y', [-0.95, 0.3], [-0.95, 0.65])],
    up: [project([0, 0, upFrom]), project([0, 0, upFrom + UP_LENGTH])],
  }
}
