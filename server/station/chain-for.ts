import { isDeepStrictEqual } from 'node:util'
import { dieEncoderChain } from '../blocks/shipped/die-encoder.ts'
import { type Mounting, mounted } from '../blocks/shipped/mounted.ts'
import { nativeAxes } from '../blocks/shipped/native-axes.ts'
import { nativeCounts } from '../blocks/shipped/native-counts.ts'
import type { Front } from '../blocks/shipped/part.ts'
import { withPressure, withSwitch } from '../blocks/shipped/second-channel.ts'
import { withSensor } from '../blocks/shipped/with-sensor.ts'
import type { ChainFile } from '../chain/chain-file.ts'
import type { Sensor } from '../messages/sensor.ts'
import type { Wire } from '../messages/wire.ts'
import { dialectOf, frontFor } from './front-for.ts'
import { sensorParameters } from './sensor-parameters.ts'

/** Until a set-up says otherwise; a set-up that says the same changes nothing. */
export const AS_BOARD_SAYS: Sensor = { mount: 'die', countsPerTurn: 0, direction: 'forward' }

/** Two sensors that the same chain reads. */
export const readsAlike = (one: Sensor, other: Sensor, wire: Wire = NATIVE): boolean =>
  isDeepStrictEqual(chainFor(one, wire), chainFor(other, wire))

/** Whether the load on the tube is seen: by a pressure, or a switch. */
export function seesLoad(sensor: Sensor, wire: Wire = NATIVE): boolean {
  const { gives } = frontOf(sensor, wire)
  return gives.pressure !== null || gives.switch !== null
}

/** The chain that reads a set-up's sensor on a wire. */
export function chainFor(sensor: Sensor, wire: Wire = NATIVE): ChainFile {
  const front = frontOf(sensor, wire)
  const isPlain = front === nativeCounts && sensor.mount === 'die'
  const file = isPlain ? dieEncoderChain : mounted(front, mountingOf(sensor, wire, front))
  return withSensor(file, sensorParameters(sensor))
}

/** What the bench speaks, as any board of ours. */
const NATIVE: Wire = { kind: 'bench' }

const isTilt = ({ mount }: Sensor) => mount === 'swing-tilt' || mount === 'leg-tilt'
const isOnArm = ({ mount, tiltOn }: Sensor) =>
  mount === 'arm' || (mount === 'swing-tilt' && tiltOn === 'arm')

const frontOf = (sensor: Sensor, wire: Wire): Front => frontFor(wire, sensor) ?? nativeFront(sensor)

function nativeFront(sensor: Sensor): Front {
  if (isTilt(sensor)) return nativeAxes
  const { second } = sensor
  if (second === undefined) return nativeCounts
  return second.kind === 'pressure' ? withPressure(nativeCounts) : withSwitch(nativeCounts)
}

const WHERE = {
  die: 'an encoder on the die',
  arm: 'an encoder on the arm',
  'swing-tilt': 'an inclinometer in the plane of the swing',
  'leg-tilt': 'an inclinometer on the free leg of the tube',
} as const satisfies Record<Sensor['mount'], string>

/** The name tells which blocks are there, so that equal names and revisions are equal chains. */
function mountingOf(sensor: Sensor, wire: Wire, { gives }: Front): Mounting {
  const dialect = dialectOf(wire)
  const autoDatum = seesLoad(sensor, wire) && sensor.autoDatum === true
  const words = [
    sensor.mount,
    sensor.mount === 'swing-tilt' && isOnArm(sensor) && 'arm',
    dialect === 'native' ? !isTilt(sensor) && 'encoder' : dialect,
    gives.pressure !== null && 'pressure',
    gives.switch !== null && 'switch',
    autoDatum && 'auto',
  ]
  return {
    name: words.filter((word) => word !== false).join('-'),
    note: `Reads ${WHERE[sensor.mount]}; the lines are ${dialect}.`,
    isOnArm: isOnArm(sensor),
    autoDatum,
  }
}
