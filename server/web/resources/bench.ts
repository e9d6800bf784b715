import { BenchAct, Done } from '../../messages/commands.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

/** POST /bench: lets the built-in bench run by itself, or works its ram by hand. */
export const bench: Resource = async (app, { station }) => {
  app.post(
    '/bench',
    {
      config: { may: 'bend' },
      schema: {
        tags: ['station'],
        summary: 'Work the built-in bench',
        body: BenchAct,
        response: answers(Done, { body: true, codes: ['no-bench', 'not-now'] }),
      },
    },
    async ({ body }) => {
      station.bench(body)
      return { done: true as const }
    },
  )
}
