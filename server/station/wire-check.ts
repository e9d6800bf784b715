import { REGISTERS_MAX } from '../../firmware-protocol/codec/modbus-line.ts'
import type { ModbusOptions, NumberOptions, Wire } from '../messages/wire.ts'
import { pollSpan } from './modbus-span.ts'

/** What is wrong with a wire though each of its values is in its range. */
export interface WireTrouble {
  /** The option at fault, by its name in `options`. */
  readonly option: string
  /** What follows the option's name in a sentence: "must …". */
  readonly must: string
}

/** @returns null for a wire that can be used. */
export function wireTrouble(wire: Wire): WireTrouble | null {
  if (wire.kind === 'bench') return null
  if (wire.kind === 'modbus' || wire.dialect === 'modbus-rtu') return modbusTrouble(wire.options)
  return wire.dialect === 'number' ? numberTrouble(wire.options) : null
}

function modbusTrouble(options: ModbusOptions): WireTrouble | null {
  const { scale = 1, pressureScale = 1, pressureRegister, register, registersAs } = options
  if (scale === 0) return { option: 'scale', must: 'must not be 0: every angle would be 0' }
  if (pressureScale === 0)
    return { option: 'pressureScale', must: 'must not be 0: every pressure would be 0' }
  if (pressureRegister === undefined) return null
  const { count } = pollSpan(options)
  const width = registersAs.endsWith('16') ? 1 : 2
  if (Math.abs(pressureRegister - register) < width)
    return { option: 'pressureRegister', must: `must be another register than the angle's` }
  if (count > REGISTERS_MAX)
    return {
      option: 'pressureRegister',
      must: `must lie within ${REGISTERS_MAX} registers of the angle's: one poll reads both`,
    }
  return null
}

function numberTrouble(options: NumberOptions): WireTrouble | null {
  const { separator = 'none', column = 1, pressureColumn = 0, switchColumn = 0 } = options
  if (separator === 'none' && Math.max(column, pressureColumn, switchColumn) > 1)
    return { option: 'separator', must: 'is needed where there are columns: comma, tab or another' }
  if (pressureColumn > 0 && pressureColumn === column)
    return { option: 'pressureColumn', must: "must be another column than the angle's" }
  if (switchColumn > 0 && (switchColumn === column || switchColumn === pressureColumn))
    return { option: 'switchColumn', must: 'must be a column of its own' }
  return null
}
