import { Type } from 'typebox'
import { Done } from '../../messages/commands.ts'
import {
  AddPersonAsk,
  ChangePersonAsk,
  FirstAsk,
  Here,
  OwnPasswordAsk,
  Person,
  PersonChange,
  SignInAsk,
} from '../../messages/people.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import { isLoopback } from '../hosts.ts'
import type { Resource } from '../parts.ts'
import { refused } from '../refuse.ts'
import { knownBy } from '../roles.ts'

const tags = ['people']
const done = { done: true } as const
const DISK = ['storage-failed', 'storage-full'] as const

/** An injected request has no socket: it is this machine's own. */
const isOwnMachine = (ip: string) => isLoopback(ip)

/** /people: who is enrolled, and every change of them; /session: who is signed in at this page. */
export const people: Resource = async (app, { people, log }) => {
  app.get(
    '/session',
    {
      config: { may: 'watch' },
      schema: { tags, summary: 'Who uses this page', response: answers(Here) },
    },
    async ({ person, ip }) => {
      const isOpenShop = !people.areEnrolled()
      return { isOpenShop, person, mayBeFirst: isOpenShop && isOwnMachine(ip) }
    },
  )

  app.post(
    '/session',
    {
      config: { may: 'watch' },
      schema: {
        tags,
        summary: 'Sign in, for twelve hours',
        body: SignInAsk,
        response: answers(Done, { body: true, codes: ['wrong-password', 'too-many-tries'] }),
      },
    },
    async ({ body, ip }, reply) => {
      reply.header('set-cookie', await people.signIn(body))
      log('A person signed in.', { name: body.name, from: ip })
      return done
    },
  )

  app.delete(
    '/session',
    {
      config: { may: 'watch' },
      schema: { tags, summary: 'Sign out', response: answers(Done) },
    },
    async ({ headers }, reply) => {
      reply.header('set-cookie', people.signOut(headers.cookie))
      return done
    },
  )

  app.put(
    '/session/password',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Another password for whoever is signed in; every session of theirs ends',
        body: OwnPasswordAsk,
        response: answers(Done, {
          body: true,
          codes: ['wrong-password', 'too-many-tries', 'no-such-person', 'not-signed-in', ...DISK],
        }),
      },
    },
    async ({ body, person }) => {
      if (person === null) throw refused('not-signed-in')
      await people.ownPassword(person.name, body)
      return done
    },
  )

  app.post(
    '/people/first',
    {
      config: { may: 'watch' },
      schema: {
        tags,
        summary: 'Enrol the first administrator, from the daemon’s own machine, and sign in',
        body: FirstAsk,
        response: answers(Done, {
          body: true,
          codes: ['own-machine-only', 'people-refused', ...DISK],
        }),
      },
    },
    async ({ body, ip }, reply) => {
      if (!isOwnMachine(ip)) throw refused('own-machine-only')
      reply.header('set-cookie', await people.first(body))
      return done
    },
  )

  app.get(
    '/people',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Everybody who was ever enrolled, and every change, oldest first',
        response: answers(
          strict({ people: Type.Array(Person), changes: Type.Array(PersonChange) }),
          { codes: ['storage-failed'] },
        ),
      },
    },
    async () => ({ people: people.list(), changes: people.changes() }),
  )

  app.post(
    '/people',
    {
      config: { may: 'administrator' },
      schema: {
        tags,
        summary: 'Enrol a person',
        body: AddPersonAsk,
        response: answers(Person, {
          body: true,
          codes: ['people-refused', 'not-signed-in', ...DISK],
        }),
      },
    },
    async (request) => {
      // In an open shop there is nobody to enrol anybody: the first is an administrator.
      if (request.person === null) throw refused('not-signed-in')
      return await people.add(request.body, knownBy(request))
    },
  )

  app.put(
    '/people',
    {
      config: { may: 'administrator' },
      schema: {
        tags,
        summary: 'Change a person’s role or password, retire them, or take them back',
        body: ChangePersonAsk,
        response: answers(Person, {
          body: true,
          codes: ['no-such-person', 'people-refused', 'nothing-to-do', ...DISK],
        }),
      },
    },
    async (request) => await people.change(request.body, knownBy(request)),
  )
}
