import { BendFilter, BendPage, BendQuery, BendSummary, KnownNames } from '../../messages/find.ts'
import { answers } from '../answers.ts'
import { demandTimes } from '../demand-times.ts'
import type { Resource } from '../parts.ts'

const tags = ['bends']

/** /bends: the history, one page at a time; /bends/summary: what all that fit have in common; /bends/names. */
export const foundBends: Resource = async (app, { history }) => {
  const codes = ['bad-input', 'storage-failed'] as const

  app.get(
    '/bends',
    {
      schema: {
        tags,
        summary: 'A page of the history',
        querystring: BendQuery,
        response: answers(BendPage, { codes }),
      },
    },
    async ({ query }) => {
      demandTimes(query)
      return history.page(query)
    },
  )

  app.get(
    '/bends/summary',
    {
      schema: {
        tags,
        summary: 'What all bends of a filter have in common',
        querystring: BendFilter,
        response: answers(BendSummary, { codes }),
      },
    },
    async ({ query }) => {
      demandTimes(query)
      return history.summary(query)
    },
  )

  app.get(
    '/bends/names',
    {
      schema: {
        tags,
        summary: 'The parts, lots, dies, benders and operators that may be looked for',
        response: answers(KnownNames, { codes: ['storage-failed'] }),
      },
    },
    async () => history.knownNames(),
  )
}
