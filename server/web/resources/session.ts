import { Done } from '../../messages/commands.ts'
import { Here, OwnPasswordAsk, SignInAsk } from '../../messages/people.ts'
import { answers } from '../answers.ts'
import { isLoopback } from '../hosts.ts'
import type { Resource } from '../parts.ts'
import { refused } from '../refuse.ts'

const tags = ['people']
const done = { done: true } as const

/** /session: who is signed in at this page. */
export const session: Resource = async (app, { people, log }) => {
  app.get(
    '/session',
    {
      config: { may: 'watch' },
      schema: { tags, summary: 'Who uses this page', response: answers(Here) },
    },
    async ({ person, ip }) => {
      const isOpenShop = !people.areEnrolled()
      return { isOpenShop, person, mayBeFirst: isOpenShop && isLoopback(ip) }
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
          codes: [
            'wrong-password',
            'too-many-tries',
            'no-such-person',
            'not-signed-in',
            'storage-failed',
            'storage-full',
          ],
        }),
      },
    },
    async ({ body, person }) => {
      if (person === null) throw refused('not-signed-in')
      await people.ownPassword(person.name, body)
      return done
    },
  )
}
