import type { SensorTurn } from '../blocks/shipped/line-front.ts'
import { modbusRtu } from '../blocks/shipped/modbus-rtu.ts'
import { nmeaXdr } from '../blocks/shipped/nmea-xdr.ts'
import type { Front } from '../blocks/shipped/part.ts'
import { plainNumber } from '../blocks/shipped/plain-number.ts'
import type { Sensor } from '../messages/sensor.ts'
import type { Dialect, ModbusOptions, NumberOptions, Wire, XdrOptions } from '../messages/wire.ts'
import { pollSpan } from './modbus-span.ts'

const TURN_DEG = 360
/** NMEA 0183's letter for degrees. */
const DEGREES = 'D'

/** What a wire's lines are written in. */
export function dialectOf(wire: Wire): Dialect {
  if (wire.kind === 'bench') return 'native'
  return wire.kind === 'modbus' ? 'modbus-rtu' : wire.dialect
}

/** The front that reads a wire which does not speak the native protocol; null for one that does. */
export function frontFor(wire: Wire, sensor: Sensor): Front | null {
  if (wire.kind === 'bench') return null
  if (wire.kind === 'modbus') return modbusFront(wire.options, sensor)
  switch (wire.dialect) {
    case 'native':
      return null
    case 'nmea-xdr':
      return xdrFront(wire.options, sensor)
    case 'number':
      return numberFront(wire.options, sensor)
    case 'modbus-rtu':
      return modbusFront(wire.options, sensor)
  }
}

/** Whether the wire brings counts of which nobody has said how many make a turn: then there is no angle. */
export function lacksCounts(wire: Wire, { countsPerTurn }: Sensor): boolean {
  if (!('options' in wire)) return false
  const { unit, countsPerTurn: ofWire = 0 } = wire.options
  return unit === 'counts' && countsPerTurn === 0 && ofWire === 0
}

type Reading = Pick<XdrOptions, 'unit' | 'countsPerTurn' | 'wrapsAt' | 'keepsZero'>

const isDegrees = ({ unit }: Reading) => unit !== 'counts'

/**
 * How readings become degrees of the die. What the set-up says of the counts goes before what the wire says.
 *
 * @param keepsZero What the dialect's usual sensors do when they are unplugged.
 */
function turnOf(reading: Reading, sensor: Sensor, keepsZero: boolean): SensorTurn {
  const { turnDeg = TURN_DEG, direction, countsPerTurn } = sensor
  const counts = countsPerTurn || reading.countsPerTurn || 0
  return {
    perTurn: isDegrees(reading) ? TURN_DEG : counts,
    wrapsAt: reading.wrapsAt ?? (isDegrees(reading) ? TURN_DEG : 0),
    direction: direction === 'reversed' ? -1 : 1,
    degPerTurn: turnDeg,
    keepsZero: reading.keepsZero ?? keepsZero,
  }
}

function xdrFront(options: XdrOptions, sensor: Sensor): Front {
  const { type = 'A', name = '*', pressureName = '', switchName = '' } = options
  const unit = isDegrees(options) ? DEGREES : ''
  return nmeaXdr(
    { type, unit, name: name === '' ? '*' : name, pressureName, switchName },
    turnOf(options, sensor, true),
  )
}

function numberFront(options: NumberOptions, sensor: Sensor): Front {
  const { separator = 'none', column = 1, pressureColumn = 0, switchColumn = 0 } = options
  // A sketch counts from where it was switched on, unless somebody knows better.
  return plainNumber(
    { separator, column, pressureColumn, switchColumn },
    turnOf(options, sensor, false),
  )
}

function modbusFront(options: ModbusOptions, sensor: Sensor): Front {
  const {
    registersAs,
    wordOrder = 'high-first',
    scale = 1,
    offset = 0,
    pressureScale = 1,
  } = options
  const { at, pressureAt } = pollSpan(options)
  return modbusRtu(
    { form: registersAs, order: wordOrder, scale, offset, at, pressureAt, pressureScale },
    turnOf(options, sensor, true),
  )
}
