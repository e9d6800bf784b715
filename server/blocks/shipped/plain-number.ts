import type { Separator } from '../../../firmware-protocol/codec/columns.ts'
import { lineFront, type SensorTurn } from './line-front.ts'
import type { Front } from './part.ts'

/** Which columns are read: the parameters of `decode-number`. */
export interface ColumnChoice {
  readonly separator: Separator
  readonly column: number
  readonly pressureColumn: number
  readonly switchColumn: number
}

/** A sensor that sends one number a line, or columns of them. */
export const plainNumber = (choice: ColumnChoice, turn: SensorTurn): Front =>
  lineFront({
    decoder: { kind: 'decode-number', parameters: { ...choice } },
    turn,
    isTimed: false,
    hasPressure: choice.pressureColumn > 0,
    hasSwitch: choice.switchColumn > 0,
  })
