import type { Unit } from '../chain/unit.ts'

/** What a block at the end of the chain asks to be let out: plain data, done by the station or by nobody. */
export type TapMessage = TapValue | TapEvent | TapSwitch

export interface TapValue {
  readonly type: 'value'
  /** The block's name in its chain. */
  readonly block: string
  /** Source time, seconds on the station's clock. */
  readonly timeS: number
  /** null where it is no number. */
  readonly value: number | null
  readonly unit: Unit
  readonly quality: 'good' | 'uncertain' | 'bad'
}

export interface TapEvent {
  readonly type: 'event'
  readonly block: string
  readonly timeS: number
  /** In words: `threshold on`, `bend settled`. */
  readonly event: string
  /** Its figures, units last in their names. */
  readonly facts: Readonly<Record<string, string | number>>
}

/** An output of the board is to be on from `timeS` for `lifeS` seconds, or off. */
export interface TapSwitch {
  readonly type: 'switch'
  readonly block: string
  readonly timeS: number
  readonly output: 'buzzer' | 'lamp' | 'relay'
  readonly on: boolean
  readonly lifeS: number
}
