import { Readable } from 'node:stream'
import { Type } from 'typebox'
import {
  BendFilter,
  BendPage,
  BendQuery,
  BendSummary,
  ExportAsk,
  KnownNames,
} from '../../messages/find.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'
import { Refused } from '../station-door.ts'

const tags = ['bends']

/** For every address that takes a filter: what no schema can tell. @throws Refused naming the field. */
export function demandTimes({ from, to, firstDay, lastDay }: BendFilter): void {
  for (const [field, text] of Object.entries({ from, to, firstDay, lastDay })) {
    if (text === undefined || Number.isFinite(Date.parse(text))) continue
    const sentence = `${field} must be a time such as 2026-01-31T08:00:00Z, not "${text}".`
    throw new Refused('bad-input', sentence, field)
  }
}

const MEDIA_TYPES = { csv: 'text/csv; charset=utf-8', json: 'application/json' } as const
const Csv = Type.Unsafe<Readable>({ type: 'string', format: 'binary' })

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

  const said = answers(Csv, { codes })
  app.get(
    '/bends/export',
    {
      schema: {
        tags,
        summary: 'Every bend of a filter as a file, oldest first',
        querystring: ExportAsk,
        produces: Object.values(MEDIA_TYPES),
        response: {
          ...said,
          200: {
            content: Object.fromEntries(
              Object.values(MEDIA_TYPES).map((type) => [type, { schema: Csv }]),
            ),
          },
        },
      },
    },
    async ({ query: { format = 'csv', ...filter } }, reply) => {
      demandTimes(filter)
      return reply
        .type(MEDIA_TYPES[format])
        .header('content-disposition', `attachment; filename=bends.${format}`)
        .send(Readable.from(history.exported(filter, format)))
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
