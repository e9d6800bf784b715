import { Type } from 'typebox'
import { Check, CheckAsk, EntryQuery } from '../../messages/readout.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const tags = ['readout']

/** /readout/checks: the readout held against a reference piece that is in place. */
export const checks: Resource = async (app, { station, history }) => {
  app.get(
    '/readout/checks',
    {
      schema: {
        tags,
        summary: 'Checks of this bender, newest first',
        querystring: EntryQuery,
        response: answers(Type.Array(Check), { codes: ['bad-input', 'storage-failed'] }),
      },
    },
    async ({ query }) =>
      history.readoutEntries({ ...query, station: station.state().station, kind: 'check' }),
  )

  app.post(
    '/readout/checks',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'Compare the readout with a piece now, and enter the outcome',
        body: CheckAsk,
        response: answers(Check, {
          body: true,
          codes: [
            'no-setup',
            'no-such-piece',
            'no-signal',
            'not-still',
            'no-datum',
            'storage-failed',
            'storage-full',
          ],
        }),
      },
    },
    async ({ body }) => station.readout.check(body),
  )
}
