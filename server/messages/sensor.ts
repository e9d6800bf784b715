import { type Static, Type } from 'typebox'
import { oneOf, strict } from './schema.ts'

/**
 * Where the sensor sits decides what it can know: `die` an encoder on the die's spindle, `arm` one on the
 * swing arm, `swing-tilt` an inclinometer in the plane of the swing, `leg-tilt` one on the tube's free leg.
 */
export const MOUNTS = ['die', 'arm', 'swing-tilt', 'leg-tilt'] as const

/** An axis of an accelerometer, and which way along it counts. */
const AXES = ['+x', '-x', '+y', '-y', '+z', '-z'] as const
export type SignedAxis = (typeof AXES)[number]

/** The two axes that lie in the plane of the swing; the angle is atan2(sine, cosine). */
export const TiltAxes = strict({
  sine: oneOf(AXES),
  cosine: oneOf(AXES),
})
export type TiltAxes = Static<typeof TiltAxes>

/** How the arm takes hold of the die. */
const ArmGrip = strict({
  biteDeg: Type.Number({
    minimum: 0,
    maximum: 90,
    description: 'Back by more than this, the arm takes a new bite, degrees; 0: it never does.',
  }),
  backlashDeg: Type.Number({
    minimum: 0,
    maximum: 20,
    description: 'How far the arm goes at a new bite before the die follows, degrees.',
  }),
})

/** Ram pressure on the second channel, as the transducer's sheet gives it: a line through two points. */
export const PressureChannel = strict({
  kind: Type.Literal('pressure'),
  zeroCounts: Type.Integer({
    minimum: -(2 ** 31),
    maximum: 2 ** 31 - 1,
    description: 'Counts at no pressure.',
  }),
  fullCounts: Type.Integer({
    minimum: -(2 ** 31),
    maximum: 2 ** 31 - 1,
    description: 'Counts at full scale.',
  }),
  fullBar: Type.Number({
    exclusiveMinimum: 0,
    maximum: 2000,
    description: 'Pressure at full scale, bar.',
  }),
  letOffBar: Type.Number({
    exclusiveMinimum: 0,
    maximum: 500,
    description: 'Below this the tube is let off, bar.',
  }),
})
export type PressureChannel = Static<typeof PressureChannel>

/** A switch on the second channel that is closed while the tube bears on the block or the arm. */
const SwitchChannel = strict({
  kind: Type.Literal('switch'),
  closedWhen: oneOf(['zero', 'not-zero']),
})

/** How the sensor is read. What is left out is as the board says, or is not there. */
export const Sensor = strict({
  mount: oneOf(MOUNTS),
  countsPerTurn: Type.Integer({
    minimum: 0,
    maximum: 16_777_216,
    description:
      'Counts a turn of the encoder, or counts a g; 0 takes what the board says of itself.',
  }),
  direction: oneOf(['forward', 'reversed']),
  turnDeg: Type.Optional(
    Type.Number({
      exclusiveMinimum: 0,
      maximum: 3600,
      description: 'Degrees of the die for a turn of the encoder: 360, other behind gear or belt.',
    }),
  ),
  tiltOn: Type.Optional(oneOf(['die', 'arm'])),
  axes: Type.Optional(TiltAxes),
  spindleDeg: Type.Optional(
    Type.Number({
      minimum: 0,
      maximum: 90,
      description: 'Lean of the spindle out of the horizontal, degrees; 90: the swing lies flat.',
    }),
  ),
  arm: Type.Optional(ArmGrip),
  second: Type.Optional(Type.Union([PressureChannel, SwitchChannel])),
  autoDatum: Type.Optional(
    Type.Boolean({ description: 'Zero is taken by itself when the slack is out; off by default.' }),
  ),
})
export type Sensor = Static<typeof Sensor>
