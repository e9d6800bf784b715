import { Type } from 'typebox'
import {
  BlockReference,
  ChainApplied,
  ChainAsk,
  ChainKind,
  ChainSeen,
  ChainView,
} from '../../messages/chain.ts'
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

  app.put(
    '/chain',
    {
      config: { may: 'reviewer' },
      schema: {
        tags,
        summary: 'Put a draft in force: now, or when the bend in hand is done',
        body: ChainAsk,
        response: answers(ChainApplied, {
          body: true,
          codes: ['chain-refused', 'storage-failed', 'storage-full'],
        }),
      },
    },
    async ({ body }) => station.chain.apply(body),
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

  app.get(
    '/chain/blocks',
    { schema: { tags, summary: 'Every block there is', response: answers(Type.Array(ChainKind)) } },
    async () => station.chain.kinds(),
  )

  app.get(
    '/chain/blocks/reference',
    {
      schema: {
        tags,
        summary: 'Every block with what it makes of a test signal',
        response: answers(Type.Array(BlockReference)),
      },
    },
    async () => station.chain.reference(),
  )
}
