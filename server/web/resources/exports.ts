import { Readable } from 'node:stream'
import { Type } from 'typebox'
import { BendFilter, ExportAsk } from '../../messages/find.ts'
import { answers } from '../answers.ts'
import { demandTimes } from '../demand-times.ts'
import { inPieces } from '../in-pieces.ts'
import type { Resource } from '../parts.ts'
import { refused } from '../refuse.ts'

const tags = ['bends']

/** A JSON document a line. */
const JSON_LINES = 'application/jsonl'
const MEDIA_TYPES = { csv: 'text/csv; charset=utf-8', json: 'application/json' } as const
const Text = Type.Unsafe<Readable>({ type: 'string', format: 'binary' })

/** /bends/export and /bends/signed: every bend of a filter as a file, in pieces. */
export const exports: Resource = async (app, { history, signed }) => {
  const codes = ['bad-input', 'storage-failed'] as const

  const said = answers(Text, { codes })
  app.get(
    '/bends/export',
    {
      config: { leaves: 'asked' },
      schema: {
        tags,
        summary: 'Every bend of a filter as a file, oldest first',
        querystring: ExportAsk,
        produces: Object.values(MEDIA_TYPES),
        response: {
          ...said,
          200: {
            content: Object.fromEntries(
              Object.values(MEDIA_TYPES).map((type) => [type, { schema: Text }]),
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
        .send(Readable.from(inPieces(history.exported(filter, format))))
    },
  )

  app.get(
    '/bends/signed',
    {
      config: { leaves: 'signed' },
      schema: {
        tags,
        summary:
          'Every bend of a filter with all acts about it, signed: to be checked by the public key alone',
        querystring: BendFilter,
        produces: [JSON_LINES],
        response: {
          ...answers(Text, { codes: [...codes, 'no-key'] }),
          200: { content: { [JSON_LINES]: { schema: Text } } },
        },
      },
    },
    async ({ query }, reply) => {
      demandTimes(query)
      const lines = signed?.(query) ?? null
      if (lines === null) throw refused('no-key')
      return reply
        .type(JSON_LINES)
        .header('content-disposition', 'attachment; filename=bends-signed.jsonl')
        .send(Readable.from(inPieces(lines)))
    },
  )
}
