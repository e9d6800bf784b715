import { registersOf } from '../../firmware-protocol/codec/modbus-line.ts'
import type { ModbusOptions } from '../messages/wire.ts'

/** The registers that one poll asks for: one run that holds the angle and, where there is one, the pressure. */
export interface PollSpan {
  readonly register: number
  readonly count: number
  /** Place of the angle's first register in the run. */
  readonly at: number
  /** The same of the pressure; −1 without one. */
  readonly pressureAt: number
}

export function pollSpan({ register, registersAs, pressureRegister }: ModbusOptions): PollSpan {
  const width = registersOf(registersAs)
  const other = pressureRegister ?? register
  const first = Math.min(register, other)
  return {
    register: first,
    count: Math.max(register, other) + width - first,
    at: register - first,
    pressureAt: pressureRegister === undefined ? -1 : pressureRegister - first,
  }
}
