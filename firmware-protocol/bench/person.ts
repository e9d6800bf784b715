import type { Valve } from './machine.ts'
import type { Deed } from './operator.ts'

/** A person at the page who holds a button to work the ram. */
export interface Person {
  ram: Valve['ram']
  /** How long this button has been held. */
  heldS: number
}

/** A tap only inches; held, the valve opens on and on until it is as far open as anyone can stop from. */
const INCH_DEG_PER_S = 1.2
/**
 * A hand takes 0.25 s, the way over the network 0.05 s, the coast 0.05 s, and the stop is called 0.2 s
 * ahead: at this rate the tube stands less than half a degree past its stop.
 */
const MOST_DEG_PER_S = 3
const OPENS_IN_S = 2

export const makePerson = (): Person => ({ ram: 'hold', heldS: 0 })

export function press(person: Person, ram: Valve['ram']): void {
  if (person.ram === ram) return
  person.ram = ram
  person.heldS = 0
}

/** One moment with the person's hand on the ram. */
export function workByHand(person: Person, dtS: number): Deed {
  person.heldS += dtS
  const open = Math.min(1, person.heldS / OPENS_IN_S)
  const rateDegPerS = INCH_DEG_PER_S + open * (MOST_DEG_PER_S - INCH_DEG_PER_S)
  return { valve: { ram: person.ram, rateDegPerS }, hands: 'none' }
}
