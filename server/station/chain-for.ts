import { dieEncoderChain } from '../blocks/shipped/die-encoder.ts'
import { onTheDie } from '../blocks/shipped/on-the-die.ts'
import { type Front, joined } from '../blocks/shipped/part.ts'
import { withSensor } from '../blocks/shipped/with-sensor.ts'
import type { ChainFile } from '../chain/chain-file.ts'
import type { Sensor } from '../messages/setup.ts'
import type { Dialect, Wire } from '../messages/wire.ts'
import { dialectOf, frontFor } from './front-for.ts'

/** Until a set-up says otherwise; a set-up that says the same changes nothing. */
export const AS_BOARD_SAYS: Sensor = { mount: 'die', countsPerTurn: 0, direction: 'forward' }

/** Two sensors that the same chain reads. */
export const readsAlike = (one: Sensor, other: Sensor): boolean =>
  one.mount === other.mount &&
  one.countsPerTurn === other.countsPerTurn &&
  one.direction === other.direction

/** The chain that reads a set-up's sensor on a wire. */
export function chainFor(sensor: Sensor, wire: Wire = NATIVE): ChainFile {
  const front = frontFor(wire, sensor)
  if (front !== null) return foreignChain(sensor, front, dialectOf(wire))
  const { countsPerTurn, direction } = sensor
  return withSensor(dieEncoderChain, {
    countsPerTurn,
    direction: direction === 'reversed' ? -1 : 1,
  })
}

/** What the bench speaks, as any board of ours. */
const NATIVE: Wire = { kind: 'bench' }

const foreignChain = ({ mount }: Sensor, front: Front, dialect: Dialect): ChainFile =>
  joined(
    {
      name: `${mount}-${dialect}`,
      revision: 1,
      note: `A sensor that speaks ${dialect}, mounted as "${mount}".`,
    },
    [front, onTheDie(front)],
  )
