import { type Static, Type } from 'typebox'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { BAD, NONE, type Quality, UNCERTAIN } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import type { DeviceReport } from './device-report.ts'
import type { OriginLost } from './unwrap.ts'

const AXES = ['+x', '-x', '+y', '-y', '+z', '-z'] as const

const axis = (standard: (typeof AXES)[number], description: string) =>
  Type.Union(
    AXES.map((name) => Type.Literal(name)),
    { default: standard, description },
  )
const offset = (name: string) =>
  Type.Number({
    minimum: -1,
    maximum: 1,
    default: 0,
    description: `What axis ${name} shows when it lies level, g as the board's scale has it.`,
  })
const unit = (name: string) =>
  Type.Number({
    minimum: 0.5,
    maximum: 2,
    default: 1,
    description: `What 1 g adds on axis ${name}, g as the board's scale has it.`,
  })

const parameters = strict({
  sine: axis('+x', 'Axis in the plane of the swing: the angle is atan2(sine, cosine).'),
  cosine: axis('+z', 'The other axis in the plane of the swing.'),
  direction: Type.Union([Type.Literal(1), Type.Literal(-1)], {
    default: 1,
    description: '1 when the tilt grows as the tube is bent, −1 when it falls.',
  }),
  countsPerG: Type.Integer({
    minimum: 0,
    maximum: 2 ** 31 - 1,
    default: 0,
    description: 'Counts for 1 g; 0: as the board says.',
  }),
  xOffsetG: offset('x'),
  yOffsetG: offset('y'),
  zOffsetG: offset('z'),
  xUnitG: unit('x'),
  yUnitG: unit('y'),
  zUnitG: unit('z'),
  leanMaxDeg: Type.Number({
    exclusiveMinimum: 0,
    maximum: 60,
    default: 5,
    description: 'Gravity further than this out of the plane of the swing makes it uncertain.',
  }),
  shakeMaxG: Type.Number({
    exclusiveMinimum: 0,
    maximum: 1,
    default: 0.05,
    description: 'More or less than 1 g by this much, something but gravity pulls: uncertain.',
  }),
})
type Parameters = Static<typeof parameters>

/**
 * Least gravity in the plane of the swing, g. What an axis errs by turns the angle by error over component:
 * an offset of 1 mg, about what six positions on a workbench leave, is 0.057° at 1 g, 0.115° here and 0.66°
 * at 5° from flat. So half of it just holds the tenth of a degree that a readout is for.
 */
export const PLANE_LEAST_G = 0.5
/** So far from 1 g it is a blow or a broken sensor: no angle at all. */
const BLOW_G = 0.5

const inputs = {
  x: number('count', 'Axis x, at the time at which it was read.'),
  y: number('count', 'Axis y.'),
  z: number('count', 'Axis z.'),
  countsPerG: number('count', 'As the board says.'),
  device: item<DeviceReport>('device-report', "The board's hello."),
}
const outputs = {
  angle: number('deg', 'Where the readout stands, without a seam.'),
  lost: item<OriginLost>('origin-lost', 'Another board: what was zero is so no more.'),
}

interface Memory {
  started: boolean
  angleDeg: number
  board: string
}

/** The axes in g; filled for each row and read at once: never kept. */
const pull = { x: 0, y: 0, z: 0 }

/**
 * Tilt from two axes in the plane of the swing by atan2, offset and gain of each axis taken out first (six
 * positions; C. J. Fisher, Analog Devices AN-1057, from memory). Where the sensor knows the turn it is in, the
 * shorter way round is taken, so that there is no seam at 180°.
 *
 * Gravity out of the plane, or a pull that is not 1 g, as in vibration, makes the angle uncertain; less than
 * half a g in the plane, or a blow, makes it bad.
 */
export const tilt = defineBlock({
  kind: 'tilt',
  summary: 'Turns the axes of an accelerometer into the tilt in the plane of the swing.',
  parameters,
  inputs,
  outputs,
  optional: ['countsPerG', 'device'],
  start({ sine, cosine }: Parameters): Memory {
    if (sine[1] === cosine[1])
      throw new RangeError(`sine and cosine must be two axes, not ${sine} and ${cosine}.`)
    return { started: false, angleDeg: 0, board: '' }
  },
  step(frame, memory, options, rows) {
    const { x, y, z, countsPerG: asBoard } = frame.in
    const { angle } = frame.out
    for (let row = 0; row < rows; row++) {
      if (frame.in.device.count > 0) takeHello(frame, memory, row)
      const scale =
        options.countsPerG || (asBoard.quality[row] === NONE ? 0 : (asBoard.value[row] as number))
      pull.x = ((x.value[row] as number) / scale - options.xOffsetG) / options.xUnitG
      pull.y = ((y.value[row] as number) / scale - options.yOffsetG) / options.yUnitG
      pull.z = ((z.value[row] as number) / scale - options.zOffsetG) / options.zUnitG
      const given = Math.max(
        x.quality[row] as number,
        y.quality[row] as number,
        z.quality[row] as number,
      )
      const quality = Math.max(given, qualityOf(options)) as Quality
      angle.quality[row] = quality
      if (quality < BAD) follow(memory, options)
      angle.value[row] = memory.angleDeg
    }
  },
})

const along = (name: string): number => {
  const size = pull[name[1] as 'x' | 'y' | 'z']
  return name[0] === '-' ? -size : size
}

/** Of the pull in hand. Without a scale it is not finite, and so bad. */
function qualityOf({ sine, cosine, leanMaxDeg, shakeMaxG }: Parameters): Quality {
  const planeG = Math.hypot(along(sine), along(cosine))
  const wholeG = Math.hypot(pull.x, pull.y, pull.z)
  const offG = Math.abs(wholeG - 1)
  if (!(offG <= BLOW_G && planeG >= PLANE_LEAST_G)) return BAD
  const leanDeg = (Math.acos(Math.min(1, planeG / wholeG)) * 180) / Math.PI
  return offG <= shakeMaxG && leanDeg <= leanMaxDeg ? 0 : UNCERTAIN
}

function follow(memory: Memory, { sine, cosine, direction }: Parameters): void {
  const tiltDeg = (direction * Math.atan2(along(sine), along(cosine)) * 180) / Math.PI
  const stepDeg = tiltDeg - memory.angleDeg
  memory.angleDeg = memory.started ? tiltDeg - 360 * Math.round(stepDeg / 360) : tiltDeg
  memory.started = true
}

function takeHello({ in: { device }, out }: TiltFrame, memory: Memory, row: number): void {
  const report = device.items[row]
  if (report?.kind !== 'hello') return
  if (memory.board !== '' && memory.board !== report.board) {
    out.lost.items[row] = { reason: 'another board' }
    out.lost.count++
  }
  memory.board = report.board
}

type TiltFrame = Frame<typeof inputs, typeof outputs>
