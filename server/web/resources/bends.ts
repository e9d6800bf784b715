import { Type } from 'typebox'
import { Bend, BendTrace } from '../../messages/bends.ts'
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

const RawLines = Type.String({
  description: 'One line each: arrival in seconds, d (device) or h (host), the line; by tabs.',
})

/** The value, or the refusal that there is no such bend. */
function found<T>(value: T | null, id: number): T {
  if (value === null) throw refused('no-such-bend', id)
  return value
}

/**
 * /bends/:id: one bend, whole; its trace; its raw lines.
 *
 * History and station are handed in, never reached for: a test gives array-backed ones and calls
 * `app.inject()`, with no port and no file.
 */
export const bends: Resource = async (app, { station, history }) => {
  const one = answers(Bend, { codes: ['bad-input', 'no-such-bend', 'storage-failed'] })

  app.get(
    '/bends/:id',
    { schema: { tags, summary: 'One bend, whole', params: WhichBend, response: one } },
    async ({ params: { id } }) => found(history.bend(id), id),
  )

  app.get(
    '/bends/:id/trace',
    {
      schema: {
        tags,
        summary: 'Its angle over time, run again from the raw lines',
        params: WhichBend,
        response: answers(BendTrace, {
          codes: ['bad-input', 'no-such-bend', 'no-rerun', 'storage-failed'],
        }),
      },
    },
    async ({ params: { id } }) => found(await station.trace(id), id),
  )

  app.get(
    '/bends/:id/raw',
    {
      schema: {
        tags,
        summary: 'Every line that made it',
        params: WhichBend,
        produces: ['text/plain'],
        response: { ...one, 200: { content: { 'text/plain': { schema: RawLines } } } },
      },
    },
    async ({ params: { id } }, reply) => {
      const { lines } = found(history.raw(id), id)
      return reply.type('text/plain; charset=utf-8').send(lines.map((line) => `${line}\n`).join(''))
    },
  )
}
