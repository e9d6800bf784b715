import type { History } from '../history/history.ts'
import type { Person } from '../messages/people.ts'
import type { WebClock } from '../web/clock.ts'
import { refused } from '../web/refuse.ts'
import { cookieOf, makeSessions, tokenIn } from '../web/sessions.ts'
import { type PeopleDoor, Refused } from '../web/station-door.ts'
import { makeChanges } from './changes.ts'
import { makePasswordCheck } from './password-check.ts'
import type { Passwords } from './passwords.ts'
import { type Entered, makeRoll, type RollParts } from './roll.ts'

const COOKIE = 'overbend_person'

interface PeopleParts extends RollParts {
  readonly history: Pick<History, 'people' | 'personChanges' | 'secretOf' | 'addPersonChange'>
  readonly clock: WebClock
  readonly passwords: Passwords
}

/** The people enrolled in a data folder and their sessions. Each change is an entry of the log of people. */
export function makePeopleDesk(parts: PeopleParts): PeopleDoor {
  const { history, clock, passwords } = parts
  const sessions = makeSessions<string>(clock)

  const roll = makeRoll(parts)
  const { active, enter } = roll
  const demand = makePasswordCheck(clock, passwords, (name) =>
    active(name) === null ? null : history.secretOf(name),
  )
  const areEnrolled = () => history.people().length > 0

  const signOutAll = (name: string) => sessions.closeAll((whose) => whose === name)
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
      return open(enter(first(roll.newName(name)), secret))
    },
    ...makeChanges({ roll, passwords, demand, signOutAll }),
    list: () => history.people(),
    changes: () => history.personChanges(),
  }
}
