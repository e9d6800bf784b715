import type { SensorOverrides } from '../blocks/shipped/with-sensor.ts'
import type { Sensor } from '../messages/sensor.ts'
import { STANDARD_AXES } from './swing-plane.ts'

const TURN_DEG = 360

/** What the set-up says of the sensor, as parameters by kind of block. What it leaves out keeps its default. */
export function sensorParameters(sensor: Sensor): SensorOverrides {
  const { countsPerTurn, direction: way, turnDeg = TURN_DEG, axes = STANDARD_AXES } = sensor
  const direction = way === 'reversed' ? -1 : 1
  const { arm, second } = sensor
  return {
    unwrap: { countsPerTurn },
    scale: { countsPerTurn, direction, ...(turnDeg !== TURN_DEG && { degPerTurn: turnDeg }) },
    tilt: { ...axes, direction, countsPerG: countsPerTurn },
    ...(arm && { 'join-strokes': { ...arm } }),
    ...secondParameters(second),
  }
}

function secondParameters(second: Sensor['second']): SensorOverrides {
  if (second === undefined) return {}
  if (second.kind === 'switch') return { switch: { closedWhen: second.closedWhen } }
  const { zeroCounts, fullCounts, fullBar, letOffBar } = second
  return {
    pressure: { zeroCounts, fullCounts, fullBar },
    'let-off': { letOffBar },
    'auto-datum': { letOffBar },
  }
}
