import type { RegisterForm, WordOrder } from '../../../firmware-protocol/codec/modbus-line.ts'
import { lineFront, type SensorTurn } from './line-front.ts'
import type { Front } from './part.ts'

/** How the registers of an answer are read: the parameters of `decode-modbus`. */
export interface RegisterChoice {
  readonly form: RegisterForm
  readonly order: WordOrder
  readonly scale: number
  readonly offset: number
  readonly at: number
  readonly pressureAt: number
  readonly pressureScale: number
}

/** A sensor that is polled over Modbus RTU. */
export const modbusRtu = (choice: RegisterChoice, turn: SensorTurn): Front =>
  lineFront({
    decoder: { kind: 'decode-modbus', parameters: { ...choice } },
    turn,
    // Each line says how old its value is.
    isTimed: true,
    hasPressure: choice.pressureAt >= 0,
    hasSwitch: false,
  })
