import { lineFront, type SensorTurn } from './line-front.ts'
import type { Front } from './part.ts'

/** Which transducers of NMEA 0183 XDR sentences are read: the parameters of `decode-xdr`. */
export interface XdrChoice {
  readonly type: string
  readonly unit: string
  readonly name: string
  readonly pressureName: string
  readonly switchName: string
}

/** A sensor that speaks NMEA 0183 XDR. */
export const nmeaXdr = (choice: XdrChoice, turn: SensorTurn): Front =>
  lineFront({
    decoder: { kind: 'decode-xdr', parameters: { ...choice } },
    turn,
    isTimed: false,
    hasPressure: choice.pressureName !== '',
    hasSwitch: choice.switchName !== '',
  })
