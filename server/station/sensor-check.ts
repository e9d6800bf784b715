import type { LinkState } from '../messages/live.ts'
import type { Sensor } from '../messages/sensor.ts'
import type { Wire } from '../messages/wire.ts'
import type { Axes } from '../quality/accelerometer-fit.ts'
import { Refused } from '../web/station-door.ts'
import { seesLoad } from './chain-for.ts'
import { dialectOf } from './front-for.ts'
import { inPlaneOf, inPlaneUnder, STANDARD_AXES, swingsUpright, tooFlat } from './swing-plane.ts'

/** What is known of the board on the wire. */
export interface BoardSeen {
  /** Null when none has said who it is, or the wire is not live. */
  readonly device: LinkState['device']
  /** Null when no axes came of late. */
  readonly gravity: Axes | null
}

const refuse = (field: string, sentence: string): never => {
  throw new Refused('bad-input', sentence, `sensor.${field}`)
}

const isTilt = ({ mount }: Sensor) => mount === 'swing-tilt' || mount === 'leg-tilt'

const SENSOR_WORDS: Readonly<Record<string, string>> = {
  incremental: 'an incremental encoder',
  absolute: 'an absolute encoder',
  accelerometer: 'an accelerometer',
}

/** Why the board cannot be read so, as a sentence; null when it can, or nothing is known of it. */
export function wrongBoard(sensor: Sensor, device: LinkState['device']): string | null {
  if (device === null || (device.sensor === 'accelerometer') === isTilt(sensor)) return null
  const wanted = isTilt(sensor) ? 'an accelerometer' : 'an encoder'
  const word = SENSOR_WORDS[device.sensor] ?? device.sensor
  return `The board ${device.board} has ${word}, and the mount "${sensor.mount}" needs ${wanted}.`
}

const USE_ENCODER = 'use an encoder on the die or the arm'

function checkGravity(sensor: Sensor, gravity: Axes | null): void {
  const { axes = STANDARD_AXES, spindleDeg = 0 } = sensor
  if (axes.sine[1] === axes.cosine[1])
    refuse('axes', `sensor.axes must be two axes, not ${axes.sine} and ${axes.cosine}.`)
  const stated = inPlaneUnder(spindleDeg)
  if (!swingsUpright(stated))
    refuse(
      'spindleDeg',
      `With a spindle ${spindleDeg}° out of the horizontal ${tooFlat(stated)}: ${USE_ENCODER}.`,
    )
  if (gravity === null) return
  const read = inPlaneOf(gravity, axes)
  const { xG, yG, zG } = gravity
  const shown = `x ${xG.toFixed(2)}, y ${yG.toFixed(2)} and z ${zG.toFixed(2)} g`
  if (!swingsUpright(read))
    refuse(
      'axes',
      `The board shows ${shown}, so by ${axes.sine} and ${axes.cosine} ${tooFlat(read)}: ` +
        `name the axes that lie in it, or, where the swing is flat, ${USE_ENCODER}.`,
    )
}

/** A transducer of which so much means nothing tells no loaded tube from a free one. */
const LET_OFF_SHARE_MAX = 0.5

function checkSecond(sensor: Sensor, wire?: Wire): void {
  const { second, autoDatum } = sensor
  const isNative = wire === undefined || dialectOf(wire) === 'native'
  if (isTilt(sensor) && isNative && second !== undefined)
    refuse('second', 'The lines of an accelerometer carry no second channel: leave it out.')
  if (autoDatum === true && !seesLoad(sensor, wire))
    refuse('autoDatum', 'An automatic datum needs a pressure or a switch on the second channel.')
  if (second?.kind !== 'pressure') return
  const { zeroCounts, fullCounts, fullBar, letOffBar } = second
  if (zeroCounts === fullCounts)
    refuse(
      'second.fullCounts',
      `Counts at no pressure and at full scale must differ, both are ${zeroCounts}.`,
    )
  if (!(letOffBar <= LET_OFF_SHARE_MAX * fullBar))
    refuse(
      'second.letOffBar',
      `The tube counts as let off below ${letOffBar} bar, ` +
        `and that must be at most half of the full ${fullBar} bar.`,
    )
}

/**
 * What no single value of a sensor shows, but all of them together, and the board on the wire.
 * @throws Refused `bad-input` with one sentence and the field.
 */
export function checkSensor(sensor: Sensor, { device, gravity }: BoardSeen, wire?: Wire): void {
  checkSecond(sensor, wire)
  const wrong = wrongBoard(sensor, device)
  if (wrong !== null) refuse('mount', wrong)
  if (isTilt(sensor)) checkGravity(sensor, gravity)
}
