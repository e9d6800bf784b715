import { dieEncoderChain } from '../blocks/shipped/die-encoder.ts'
import { withSensor } from '../blocks/shipped/with-sensor.ts'
import type { ChainFile } from '../chain/chain-file.ts'
import type { Sensor } from '../messages/setup.ts'

/** Until a set-up says otherwise; a set-up that says the same changes nothing. */
export const AS_BOARD_SAYS: Sensor = { mount: 'die', countsPerTurn: 0, direction: 'forward' }

/** Two sensors that the same chain reads. */
export const readsAlike = (one: Sensor, other: Sensor): boolean =>
  one.mount === other.mount &&
  one.countsPerTurn === other.countsPerTurn &&
  one.direction === other.direction

/** The chain that reads a set-up's sensor. */
export const chainFor = ({ countsPerTurn, direction }: Sensor): ChainFile =>
  withSensor(dieEncoderChain, { countsPerTurn, direction: direction === 'reversed' ? -1 : 1 })
