import type { WireFlags } from './serve-wire.ts'
import { attributeOf, WIRE_OPTIONS } from './wire-options.ts'

/** All flags of `serve`. */
export interface Flags extends WireFlags {
  readonly stations?: string
  readonly blocks?: string
  readonly data?: string
  readonly backupTo?: string
  readonly backupEvery?: number
  readonly host: string
  readonly port: number
  readonly benchSpeed: number
  readonly benchSeed?: number
  readonly benchMount?: string
  readonly benchPressure?: boolean
}

const OF_A_WIRE = [
  ...(['serial', 'tcp', 'replay', 'bench', 'baud', 'dialect'] as const),
  ...(['benchSeed', 'benchMount', 'benchPressure'] as const),
  ...WIRE_OPTIONS.map(({ flag }) => attributeOf(flag)),
]

/** Whether anything was said of the one wire of a bender that is alone. */
export const hasOwnWire = (flags: Flags): boolean =>
  OF_A_WIRE.some((attribute) => Object.hasOwn(flags, attribute))
