import type { History } from '../history/history.ts'
import type { NewPersonChange, Person } from '../messages/people.ts'
import { mixedIn, plainName } from '../messages/person-name.ts'
import { Refused } from '../web/station-door.ts'
import { typedName } from '../web/typed-names.ts'

export interface RollParts {
  readonly history: Pick<History, 'people' | 'addPersonChange'>
  /** The wall clock, with its offset. */
  readonly at: () => string
  readonly software: string
}

export type Entered = Omit<NewPersonChange, 'schema' | 'at' | 'software'>

/** Who is enrolled, and what a change of them demands. */
export function makeRoll(parts: RollParts) {
  const { history } = parts

  /** To the letter first: two names that are one today may have been enrolled before they were. */
  const named = (name: string): Person | null => {
    const people = history.people()
    const plain = plainName(name)
    return (
      people.find((one) => one.name === name) ??
      people.find((one) => plainName(one.name) === plain) ??
      null
    )
  }
  const active = (name: string): Person | null => {
    const person = named(name)
    return person?.isActive ? person : null
  }
  function enter(entry: Entered, secret: string | null): Person {
    const { at, software } = parts
    history.addPersonChange({ schema: 1, at: at(), software, ...entry }, secret)
    const person = named(entry.person)
    if (person === null) throw new Error('Who was entered is not there')
    return person
  }

  /** The name of somebody new, spaced once. @throws Refused where it is no clear name, or somebody's already. */
  function newName(typed: string): string {
    const name = typedName(typed, 'name')
    const mixed = name === '' ? 'must not be empty.' : mixedIn(name)
    if (mixed !== null) throw new Refused('bad-input', `name ${mixed}`, 'name')
    const other = named(name)
    if (other === null) return name
    const sentence = `There is somebody of the name ${other.name} already, and a name is given once only.`
    throw new Refused('people-refused', sentence, 'name')
  }

  /** Without an administrator nobody could enrol anybody. */
  function demandAnotherAdministrator(person: Person): void {
    const others = history
      .people()
      .filter(
        ({ name, role, isActive }) => isActive && role === 'administrator' && name !== person.name,
      )
    if (person.role !== 'administrator' || !person.isActive || others.length > 0) return
    const sentence = `${person.name} is the only administrator: make another one first.`
    throw new Refused('people-refused', sentence, 'name')
  }

  function demandChange({ isActive, name }: Person, change: NewPersonChange['change']): void {
    const isSo = change === 'retired' ? !isActive : change === 'returned' && isActive
    if (isSo) throw new Refused('nothing-to-do', `${name} is ${isActive ? 'active' : 'retired'}.`)
  }

  return { named, active, enter, newName, demandAnotherAdministrator, demandChange }
}
