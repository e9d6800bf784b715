import { Type } from 'typebox'
import {
  ChainDraft,
  ChainProof,
  ChainProofAsk,
  ChainRevisionFile,
  ChainRevisionRow,
  ChainView,
} from '../../messages/chain.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'
import { refused } from '../refuse.ts'

const tags = ['chain']

const WhichRevision = strict({
  id: Type.Integer({ minimum: 1, maximum: Number.MAX_SAFE_INTEGER }),
})

/** /chain/…: drafts of a chain, their check and proof, and the revisions that were in force. */
export const chainDrafts: Resource = async (app, { station }) => {
  app.get(
    '/chain/shipped',
    {
      schema: {
        tags,
        summary: 'The chain that comes with the program for this sensor',
        response: answers(ChainDraft),
      },
    },
    async () => station.chain.shipped(),
  )

  app.post(
    '/chain/check',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'A draft as it would run, or what is wrong with it',
        body: ChainDraft,
        response: answers(ChainView, { body: true, codes: ['chain-refused'] }),
      },
    },
    async ({ body }) => station.chain.check(body.file),
  )

  app.post(
    '/chain/proof',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Stored bends run through a draft, beside what they came out as',
        body: ChainProofAsk,
        response: answers(ChainProof, {
          body: true,
          codes: ['chain-refused', 'no-such-bend', 'storage-failed'],
        }),
      },
    },
    async ({ body }) => station.chain.prove(body),
  )

  app.get(
    '/chain/revisions',
    {
      schema: {
        tags,
        summary: 'Revisions of the chain for this sensor, newest first',
        response: answers(Type.Array(ChainRevisionRow), { codes: ['storage-failed'] }),
      },
    },
    async () => station.chain.revisions(),
  )

  app.get(
    '/chain/revisions/:id',
    {
      schema: {
        tags,
        summary: 'One revision, with its file',
        params: WhichRevision,
        response: answers(ChainRevisionFile, {
          codes: ['bad-input', 'no-such-revision', 'storage-failed'],
        }),
      },
    },
    async ({ params: { id } }) => {
      const one = station.chain.revision(id)
      if (one === null) throw refused('no-such-revision', id)
      return one
    },
  )
}
