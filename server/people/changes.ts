import { refused } from '../web/refuse.ts'
import { type PeopleDoor, Refused } from '../web/station-door.ts'
import type { Passwords } from './passwords.ts'
import type { makeRoll } from './roll.ts'

interface ChangeParts {
  readonly roll: ReturnType<typeof makeRoll>
  readonly passwords: Passwords
  /** Ends every session of this person. */
  signOutAll(name: string): void
  /** Throws `Refused` where the password does not fit. */
  demand(name: string, password: string): Promise<void>
}

/** Changes of the people enrolled: each is an entry of the log of people. */
export function makeChanges(
  parts: ChangeParts,
): Pick<PeopleDoor, 'add' | 'change' | 'ownPassword'> {
  const { roll, passwords, signOutAll, demand } = parts
  return {
    async add({ who, name, role, password, reason }, whoKnownBy) {
      const secret = await passwords.hash(password)
      const person = roll.newName(name)
      return roll.enter({ who, whoKnownBy, person, change: 'added', role, reason }, secret)
    },
    async change({ who, name, change, role, password, reason }, whoKnownBy) {
      const secret = change === 'password' && password ? await passwords.hash(password) : null
      const person = roll.named(name)
      if (person === null) throw refused('no-such-person', name)
      if (change === 'password' && secret === null)
        throw new Refused('bad-input', 'password is missing.', 'password')
      if (change === 'role' && role === undefined)
        throw new Refused('bad-input', 'role is missing.', 'role')
      roll.demandChange(person, change)
      const next = change === 'role' ? (role ?? person.role) : person.role
      if (change === 'retired' || next !== 'administrator') roll.demandAnotherAdministrator(person)
      const entry = { who, whoKnownBy, person: person.name, change, role: next, reason }
      const changed = roll.enter(entry, secret)
      if (change !== 'role') signOutAll(person.name)
      return changed
    },
    async ownPassword(name, { old, password }) {
      await demand(name, old)
      const secret = await passwords.hash(password)
      const person = roll.active(name)
      if (person === null) throw refused('no-such-person', name)
      roll.enter(
        {
          ...{ who: name, whoKnownBy: 'password', person: name, change: 'password' },
          ...{ role: person.role, reason: 'Changed by the person.' },
        },
        secret,
      )
      signOutAll(name)
    },
  }
}
