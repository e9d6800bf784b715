import { Type } from 'typebox'
import { Done } from '../../messages/commands.ts'
import {
  AddPersonAsk,
  ChangePersonAsk,
  FirstAsk,
  Person,
  PersonChange,
} from '../../messages/people.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import { isLoopback } from '../hosts.ts'
import type { Resource } from '../parts.ts'
import { refused } from '../refuse.ts'
import { knownBy } from '../roles.ts'

const tags = ['people']
const DISK = ['storage-failed', 'storage-full'] as const

/** /people: who is enrolled, and every change of them. */
export const people: Resource = async (app, { people }) => {
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
      if (!isLoopback(ip)) throw refused('own-machine-only')
      reply.header('set-cookie', await people.first(body))
      return { done: true as const }
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
