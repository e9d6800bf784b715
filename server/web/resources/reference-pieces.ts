import { Type } from 'typebox'
import {
  CheckChart,
  EntryQuery,
  ReferencePiece,
  ReferencePieceAsk,
} from '../../messages/readout.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const tags = ['readout']

const WhichPiece = strict({
  id: Type.Integer({
    minimum: 1,
    maximum: Number.MAX_SAFE_INTEGER,
    description: 'Number of the piece in the log of the readout.',
  }),
})

/** /readout/pieces: kept bends of known angle, and the control chart of the checks with one. */
export const referencePieces: Resource = async (app, { station, history }) => {
  app.get(
    '/readout/pieces',
    {
      schema: {
        tags,
        summary: 'Reference pieces of this bender, newest first',
        querystring: EntryQuery,
        response: answers(Type.Array(ReferencePiece), { codes: ['bad-input', 'storage-failed'] }),
      },
    },
    async ({ query }) =>
      history.readoutEntries({
        ...query,
        station: station.state().station,
        kind: 'reference-piece',
      }),
  )

  app.post(
    '/readout/pieces',
    {
      config: { may: 'reviewer' },
      schema: {
        tags,
        summary: 'Enter a reference piece; from then on checks are due',
        body: ReferencePieceAsk,
        response: answers(ReferencePiece, {
          body: true,
          codes: ['no-setup', 'storage-failed', 'storage-full'],
        }),
      },
    },
    async ({ body }) => station.readout.addPiece(body),
  )

  app.get(
    '/readout/pieces/:id/chart',
    {
      schema: {
        tags,
        summary: 'Individuals and moving-range chart of the checks with one piece',
        params: WhichPiece,
        response: answers(CheckChart, {
          codes: ['bad-input', 'no-setup', 'no-such-piece', 'storage-failed'],
        }),
      },
    },
    async ({ params: { id } }) => station.readout.chart(id),
  )
}
