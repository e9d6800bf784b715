import type { SignedAxis } from '../../../server/messages/sensor.ts'
import { type Point, sideShape } from './side-geometry.ts'

const VIEW = '-112 -168 224 236'
/** Length of an arrow's head, px of the picture. */
const HEAD = 9

const path = (points: readonly Point[]) =>
  `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}`

/** A line with a head at its end. */
function Arrow({ from, to, head }: { from: Point; to: Point; head: number }) {
  const turn = Math.atan2(to[1] - from[1], to[0] - from[0])
  const barb = (spread: number): Point => [
    to[0] - head * Math.cos(turn + spread),
    to[1] - head * Math.sin(turn + spread),
  ]
  return <path d={`${path([from, to])}${path([barb(0.45), to, barb(-0.45)])}`} />
}

/** The sensor on one of its sides, as a drawing shows it; what is behind is dashed. The words beside it say the same. */
export function SidePicture({ side }: { side: SignedAxis }) {
  const { plate, faces, chip, isChipBehind, arrows, up } = sideShape(side)
  return (
    <svg class="side-picture" viewBox={VIEW} aria-hidden="true">
      <path class="side-plate" d={`${path(plate)}Z`} />
      {faces.map((face) => (
        <path class="side-face" key={path(face)} d={`${path(face)}Z`} />
      ))}
      <g class={isChipBehind ? 'side-printed side-behind' : 'side-printed'}>
        <path d={`${path(chip)}Z`} />
        {arrows.map(({ name, way: [from, to, letter] }) => (
          <g key={name}>
            <Arrow {...{ from, to }} head={HEAD} />
            <text x={letter[0]} y={letter[1]}>
              {name}
            </text>
          </g>
        ))}
      </g>
      <g class="side-up">
        <Arrow from={up[0]} to={up[1]} head={2 * HEAD} />
      </g>
    </svg>
  )
}
