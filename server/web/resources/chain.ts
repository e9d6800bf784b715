import { ChainSeen, ChainView } from '../../messages/chain.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const tags = ['chain']

/** /chain: the dataflow from the wire to the record, and what goes over it now. */
export const chain: Resource = async (app, { station }) => {
  app.get(
    '/chain',
    { schema: { tags, summary: 'The chain that runs', response: answers(ChainView) } },
    async () => station.chain.view(),
  )

  app.get(
    '/chain/seen',
    {
      schema: {
        tags,
        summary: 'What went over each output since somebody first looked',
        response: answers(ChainSeen),
      },
    },
    async () => station.chain.seen(),
  )
}
