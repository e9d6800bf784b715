import type { History } from '../history/history.ts'
import type { KnownBy } from '../messages/act-kinds/act-kind.ts'
import type { NewPersonChange, Person } from '../messages/people.ts'
import type { WebClock } from '../web/clock.ts'
import { refused } from '../web/refuse.ts'
import { cookieOf, makeSessions, tokenIn } from '../web/sessions.ts'
import { type PeopleDoor, Refused } from '../web/station-door.ts'
import { makePasswordCheck } from './password-check.ts'
import type { Passwords } from './passwords.ts'
import { plainName } from './same-name.ts'

const COOKIE = 'overbend_person'

export interface PeopleParts {
  readonly history: Pick<History, 'people' | 'personChanges' | 'secretOf' | 'addPersonChange'>
  readonly clock: WebClock
  /** The wall clock, with its offset. */
  readonly at: () => string
  readonly passwords: Passwords
  readonly software: string
}

type Entered = Omit<NewPersonChange, 'schema' | 'at' | 'software'>

/** The people enrolled in a data folder and their sessions. Each change is an entry of the log of people. */
export function makePeopleDesk(parts: PeopleParts): PeopleDoor {
  const { history, clock, passwords } = parts
  const sessions = makeSessions<string>(clock)

  const named = (name: string): Person | null =>
    history.people().find((one) => plainName(one.name) === plainName(name)) ?? null
  const active = (name: string): Person | null => {
    const person = named(name)
    return person?.isActive ? person : null
  }
  const demand = makePasswordCheck(clock, passwords, (name) =>
    active(name) === null ? null : history.secretOf(name),
  )
  const areEnrolled = () => history.people().length > 0

  function enter(entry: Entered, secret: string | null): Person {
    const { at, software } = parts
    history.addPersonChange({ schema: 1, at: at(), software, ...entry }, secret)
    const person = named(entry.person)
    if (person === null) throw new Error('Who was entered is not there')
    return person
  }

  function demandFree(name: string): void {
    if (name.trim() !== name)
      throw new Refused('bad-input', 'name must not begin or end with a space.', 'name')
    if (named(name) === null) return
    const sentence = `There is somebody of the name ${name} already, and a name is given once only.`
    throw new Refused('people-refused', sentence, 'name')
  }

  /** Without an administrator nobody could enrol anybody. */
  function demandAnotherAdministrator(person: Person): void {
    const others = history
      .people()
      .filter(({ name, role, isActive }) => isActive && role === 'administrator' && name !== person.name)
    if (person.role !== 'administrator' || !person.isActive || others.length > 0) return
    const sentence = `${person.name} is the only administrator: make another one first.`
    throw new Refused('people-refused', sentence, 'name')
  }

  function demandChange({ isActive, name }: Person, change: NewPersonChange['change']): void {
    const isSo = change === 'retired' ? !isActive : change === 'returned' && isActive
    if (isSo) throw new Refused('nothing-to-do', `${name} is ${isActive ? 'active' : 'retired'}.`)
  }

  const open = (person: Person) => cookieOf(COOKIE, sessions.open(person.name))
  const first = (name: string): Entered => ({
    ...{ who: name, whoKnownBy: 'password', person: name, change: 'added' },
    ...{ role: 'administrator', reason: 'The first administrator.' },
  })

  return {
    areEnrolled,
    whoIs(header) {
      const token = tokenIn(header, COOKIE)
      const name = token === null ? null : sessions.find(token)
      return name === null ? null : active(name)
    },
    async signIn({ name, password }) {
      const person = active(name)
      await demand(person?.name ?? name, password)
      if (person === null) throw refused('wrong-password')
      return open(person)
    },
    signOut(header) {
      const token = tokenIn(header, COOKIE)
      if (token !== null) sessions.close(token)
      return cookieOf(COOKIE, '', 0)
    },
    demandPassword: demand,
    async first({ name, password }) {
      const secret = await passwords.hash(password)
      // Looked at after the wait: of two who ask at once one is the first.
      if (areEnrolled())
        throw new Refused('people-refused', 'Somebody is enrolled already: sign in.', 'name')
      demandFree(name)
      return open(enter(first(name), secret))
    },
    async add({ who, name, role, password, reason }, whoKnownBy: KnownBy) {
      const secret = await passwords.hash(password)
      demandFree(name)
      return enter({ who, whoKnownBy, person: name, change: 'added', role, reason }, secret)
    },
    async change({ who, name, change, role, password, reason }, whoKnownBy) {
      const secret = change === 'password' && password ? await passwords.hash(password) : null
      const person = named(name)
      if (person === null) throw refused('no-such-person', name)
      if (change === 'password' && secret === null)
        throw new Refused('bad-input', 'password is missing.', 'password')
      if (change === 'role' && role === undefined)
        throw new Refused('bad-input', 'role is missing.', 'role')
      demandChange(person, change)
      const next = change === 'role' ? (role ?? person.role) : person.role
      if (change === 'retired' || next !== 'administrator') demandAnotherAdministrator(person)
      const entry = { who, whoKnownBy, person: person.name, change, role: next, reason }
      const changed = enter(entry, secret)
      if (change !== 'role') sessions.closeAll((whose) => whose === person.name)
      return changed
    },
    async ownPassword(name, { old, password }) {
      await demand(name, old)
      const secret = await passwords.hash(password)
      const person = active(name)
      if (person === null) throw refused('no-such-person', name)
      enter(
        {
          ...{ who: name, whoKnownBy: 'password', person: name, change: 'password' },
          ...{ role: person.role, reason: 'Changed by the person.' },
        },
        secret,
      )
      sessions.closeAll((whose) => whose === name)
    },
    list: () => history.people(),
    changes: () => history.personChanges(),
  }
}
