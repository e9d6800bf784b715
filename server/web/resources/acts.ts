import { type TSchema, Type } from 'typebox'
import { ACT_KINDS, Act, type ActAsk } from '../../messages/acts.ts'
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

/** A note of 10 000 characters is 40 kB of emoji, and more where a character is made of several. */
const BODY_MAX_BYTES = 512 * 1024

/** /bends/:id/acts: what people did about a recorded bend; one address for each kind of act. */
export const acts: Resource = async (app, { acts, history }) => {
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

  for (const { kind, address, summary, ask, kept } of ACT_KINDS)
    app.post(
      `/bends/:id/${address}`,
      {
        bodyLimit: BODY_MAX_BYTES,
        schema: {
          tags,
          summary,
          params: WhichBend,
          body: ask as TSchema,
          response: answers(kept as TSchema, {
            body: true,
            codes: [
              ...(['no-such-bend', 'not-now', 'changed-since', 'nothing-to-do'] as const),
              ...(['not-signable', 'teaches-nothing', 'storage-failed', 'storage-full'] as const),
            ],
          }),
        },
      },
      async ({ params: { id }, body }) => {
        const bend = history.bend(id)
        if (bend === null) throw refused('no-such-bend', id)
        return acts.add(kind, bend, body as ActAsk<typeof kind>, 'typed')
      },
    )
}
