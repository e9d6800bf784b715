import { LotTable, SpringbackQuery, SpringbackView } from '../../messages/springback.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const tags = ['springback']

/** /springback: what is known of a set-up's springback; /springback/lots: of each lot. */
export const springback: Resource = async (app, { station }) => {
  app.get(
    '/springback',
    {
      schema: {
        tags,
        summary: 'What is known of the springback of a set-up',
        querystring: SpringbackQuery,
        response: answers(SpringbackView, {
          codes: ['bad-input', 'no-setup', 'no-such-setup', 'storage-failed'],
        }),
      },
    },
    async ({ query: { setup } }) => station.springback.view(setup),
  )

  app.get(
    '/springback/lots',
    {
      schema: {
        tags,
        summary: 'Lots that were bent, and what put their bends off',
        response: answers(LotTable, { codes: ['storage-failed'] }),
      },
    },
    async () => station.springback.lots(),
  )
}
