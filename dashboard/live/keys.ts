import type { OperatorAct } from '../../server/messages/commands.ts'

const ACT_OF_KEY: ReadonlyMap<string, OperatorAct['act']> = new Map([
  [' ', 'pedal'],
  ['Enter', 'pedal'],
  ['d', 'datum'],
  ['a', 'accept'],
  ['r', 'accept'],
  ['g', 'again'],
])

export interface KeyPress {
  readonly key: string
  readonly repeat: boolean
  readonly ctrlKey: boolean
  readonly altKey: boolean
  readonly metaKey: boolean
}

/**
 * What a key says. A pedal that sends Space or Enter is one key like any other. A held key speaks
 * once, and a key that works the control it is on (`onControl`) is left to that control.
 */
export function actOfKey(press: KeyPress, onControl: boolean): OperatorAct['act'] | null {
  if (press.repeat || press.ctrlKey || press.altKey || press.metaKey || onControl) return null
  return ACT_OF_KEY.get(press.key.length === 1 ? press.key.toLowerCase() : press.key) ?? null
}
