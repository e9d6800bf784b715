import { type Machine, RAM_EASY_DEG_PER_S, RAM_FAST_DEG_PER_S, type Valve } from './machine.ts'
import type { Deed } from './operator.ts'

/** A person at the page who holds a button to work the ram. */
export interface Person {
  ram: Valve['ram']
  /** How long this button has been held. */
  heldS: number
  /** How long the tube has stood since it was let off. */
  standingS: number
}

/** A tap only inches; after this long the valve opens fully. */
const INCHES_FOR_S = 0.4
/** Kept pressed this long after the tube was let off, the button means: take it out. */
const TAKES_OUT_AFTER_S = 2

export const makePerson = (): Person => ({ ram: 'hold', heldS: 0, standingS: 0 })

export function press(person: Person, ram: Valve['ram']): void {
  if (person.ram === ram) return
  person.ram = ram
  person.heldS = 0
}

/** One moment with the person's hand on the ram. */
export function workByHand(person: Person, dtS: number, machine: Machine): Deed {
  const { ram } = person
  person.heldS += dtS
  person.standingS = machine.contact === 'standing' ? person.standingS + dtS : 0
  // A press that is younger than the standstill is a second one: the first let the tube off.
  const pressedAnew = person.heldS < person.standingS
  const keptPressed = person.standingS > TAKES_OUT_AFTER_S
  if (ram === 'retract' && (pressedAnew || keptPressed))
    return { valve: { ram: 'hold', rateDegPerS: 0 }, hands: 'take-out' }
  const rateDegPerS = person.heldS < INCHES_FOR_S ? RAM_EASY_DEG_PER_S : RAM_FAST_DEG_PER_S
  return { valve: { ram, rateDegPerS }, hands: 'none' }
}
