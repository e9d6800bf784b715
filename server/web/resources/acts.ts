import { type TSchema, Type } from 'typebox'
import { ACT_KINDS, Act, type ActAsk } from '../../messages/acts.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import { confirmed, passwordAgain } from '../confirmed.ts'
import type { Resource } from '../parts.ts'
import { refused } from '../refuse.ts'
import { knownBy } from '../roles.ts'

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

const passwordKinds: ReadonlySet<string> = new Set(
  ACT_KINDS.filter(({ byPassword }) => byPassword).map(({ kind }) => kind),
)

const withPassword = ({ properties }: (typeof ACT_KINDS)[number]['ask']): TSchema =>
  strict({ ...properties, ...passwordAgain })

/** /bends/:id/acts: what people did about a recorded bend; one address for each kind of act. */
export const acts: Resource = async (app, { acts, history, people }) => {
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

  for (const { kind, address, summary, may, ask, kept } of ACT_KINDS)
    app.post(
      `/bends/:id/${address}`,
      {
        bodyLimit: BODY_MAX_BYTES,
        config: { may },
        schema: {
          tags,
          summary,
          params: WhichBend,
          body: passwordKinds.has(kind) ? withPassword(ask) : (ask as TSchema),
          response: answers(kept as TSchema, {
            body: true,
            codes: [
              ...(['no-such-bend', 'not-now', 'changed-since', 'nothing-to-do'] as const),
              ...(['not-signable', 'teaches-nothing', 'storage-failed', 'storage-full'] as const),
              ...(['wrong-password', 'too-many-tries'] as const),
            ],
          }),
        },
      },
      async (request) => {
        const { id } = request.params
        if (history.bend(id) === null) throw refused('no-such-bend', id)
        const [asked, known] = passwordKinds.has(kind)
          ? await confirmed(request, people, request.body as object)
          : [request.body, knownBy(request)]
        const bend = history.bend(id)
        if (bend === null) throw refused('no-such-bend', id)
        return acts.add(kind, bend, asked as ActAsk<typeof kind>, known)
      },
    )
}
