import { Type } from 'typebox'
import { Act, TeachingAsk } from '../../messages/acts.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'
import { refused } from '../refuse.ts'

const tags = ['bends']

const WhichBend = strict({
  id: Type.Integer({
    minimum: 1,
    maximum: Number.MAX_SAFE_INTEGER,
    description: 'Place in the history.',
  }),
})

/** /bends/:id/acts: what people did about a recorded bend; /bends/:id/teaching: whether it is to teach. */
export const acts: Resource = async (app, { station, history }) => {
  app.get(
    '/bends/:id/acts',
    {
      schema: {
        tags,
        summary: 'What people did about this bend, oldest first',
        params: WhichBend,
        response: answers(Type.Array(Act), {
          codes: ['bad-input', 'no-such-bend', 'storage-failed'],
        }),
      },
    },
    async ({ params: { id } }) => {
      if (history.bend(id) === null) throw refused('no-such-bend', id)
      return history.actsOn(id)
    },
  )

  app.post(
    '/bends/:id/teaching',
    {
      schema: {
        tags,
        summary: 'Put a bend back, or take it out, of what teaches springback',
        params: WhichBend,
        body: TeachingAsk,
        response: answers(Act, {
          body: true,
          codes: ['no-such-bend', 'not-now', 'teaches-nothing', 'storage-failed', 'storage-full'],
        }),
      },
    },
    async ({ params: { id }, body }) => {
      const bend = history.bend(id)
      if (bend === null) throw refused('no-such-bend', id)
      return station.teaching.decide(bend, body)
    },
  )
}
