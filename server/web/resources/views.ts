import { Type } from 'typebox'
import { Done } from '../../messages/commands.ts'
import { RemoveViewAsk, SavedView, SaveViewAsk } from '../../messages/views.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const tags = ['bends']

/** /views: filters of the history that the shop saved under a name. */
export const views: Resource = async (app, { views }) => {
  app.get(
    '/views',
    {
      schema: {
        tags,
        summary: 'The saved views of the history, by name',
        response: answers(Type.Array(SavedView), { codes: ['storage-failed'] }),
      },
    },
    async () => views.list(),
  )

  const writing = ['bad-input', 'storage-failed', 'storage-full'] as const

  app.put(
    '/views',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Save a filter under a name, for everybody in the shop',
        body: SaveViewAsk,
        response: answers(SavedView, {
          body: true,
          codes: [...writing, 'view-exists', 'too-many-views'],
        }),
      },
    },
    async ({ body }) => views.save(body),
  )

  app.delete(
    '/views',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Remove a saved view, for everybody in the shop; no bend goes with it',
        querystring: RemoveViewAsk,
        response: answers(Done, { codes: [...writing, 'no-such-view'] }),
      },
    },
    async ({ query }) => {
      views.remove(query.name)
      return { done: true } as const
    },
  )
}
