import type { ChainFile } from '../../chain/chain-file.ts'
import type { Front } from './part.ts'

type Parameters = Readonly<Record<string, unknown>>

/** How a sensor without a protocol of its own turns with the die: the parameters of `degrees`. */
export interface SensorTurn {
  /** What it says for one turn; 0 when nobody has said it. */
  readonly perTurn: number
  /** Where it begins again, in its own unit; 0: it does not. */
  readonly wrapsAt: number
  readonly direction: 1 | -1
  /** Degrees of the die for one turn of the sensor. */
  readonly degPerTurn: number
  readonly keepsZero: boolean
}

export interface LineFrontSpec {
  readonly decoder: { readonly kind: string; readonly parameters: Parameters }
  readonly turn: SensorTurn
  /** Lines that do not say when a value was taken get their times from their rhythm. */
  readonly isTimed: boolean
  readonly hasPressure: boolean
  readonly hasSwitch: boolean
}

/** The front of every dialect but the native one: decoder, times, degrees. */
export function lineFront({
  decoder,
  turn,
  isTimed,
  hasPressure,
  hasSwitch,
}: LineFrontSpec): Front {
  const value = isTimed ? 'decode.value' : 'line-clock.value'
  return {
    blocks: [
      { id: 'decode', kind: decoder.kind, parameters: { ...decoder.parameters } },
      ...(isTimed ? [] : [{ id: 'line-clock', kind: 'line-clock' }]),
      { id: 'degrees', kind: 'degrees', parameters: { ...turn } },
    ],
    connections: [
      { from: 'link.line', to: 'decode.line' },
      ...(isTimed ? [] : CLOCKED),
      { from: value, to: 'degrees.value' },
      { from: 'command.command', to: 'degrees.command' },
    ],
    gives: {
      angle: 'degrees.angle',
      counts: 'decode.readings',
      trouble: 'decode.trouble',
      device: null,
      lost: 'degrees.lost',
      pressure: hasPressure ? 'decode.pressure' : null,
      switch: hasSwitch ? 'decode.switch' : null,
    },
  }
}

const CLOCKED: ChainFile['connections'] = [{ from: 'decode.value', to: 'line-clock.value' }]
