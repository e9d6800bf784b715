import { Type } from 'typebox'
import { Done } from '../../messages/commands.ts'
import {
  PortFound,
  ProbeAsk,
  Probed,
  RecentLine,
  shapeOf,
  Wire,
  WireChoice,
} from '../../messages/wire.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'
import { Refused } from '../station-door.ts'
import { compileValidator } from '../validate.ts'

const tags = ['wire']

/** /wire and /ports: where lines come from, what they mean, and what comes over the wire now. */
export const wire: Resource = async (app, { wire }) => {
  app.get(
    '/ports',
    {
      schema: {
        tags,
        summary: 'The serial ports of this machine',
        response: answers(Type.Array(PortFound)),
      },
    },
    async () => wire.ports(),
  )

  app.get(
    '/wire',
    { schema: { tags, summary: 'The wire in force', response: answers(Wire) } },
    async () => wire.wire(),
  )

  app.get(
    '/wire/lines',
    {
      schema: {
        tags,
        summary: 'The last 50 lines, oldest first, with what each was taken for',
        response: answers(Type.Array(RecentLine)),
      },
    },
    async () => wire.lines(),
  )

  app.put(
    '/wire',
    {
      config: { may: 'administrator' },
      // A union of eight shapes has eight complaints: only those of the shape that is meant are clear.
      validatorCompiler: () => checkMeant,
      schema: {
        tags,
        summary: 'Another wire from now on, between bends',
        body: WireChoice,
        response: answers(Done, { body: true, codes: ['not-now'] }),
      },
    },
    async ({ body }) => {
      wire.use(body)
      return { done: true as const }
    },
  )

  app.post(
    '/wire/probe',
    {
      config: { may: 'administrator' },
      schema: {
        tags,
        summary: 'Listens at a port for some seconds and says what speaks there',
        body: ProbeAsk,
        response: answers(Probed, { body: true, codes: ['not-now'] }),
      },
    },
    async ({ body }) => wire.probe(body.path),
  )
}

const KINDS = ['serial', 'tcp', 'modbus', 'bench']

const checkMeant = (body: unknown) => {
  const { kind, dialect } = (body ?? {}) as { kind?: unknown; dialect?: unknown }
  if (typeof kind !== 'string' || !KINDS.includes(kind)) return refused('kind', KINDS)
  const isSpoken = kind === 'serial' || kind === 'tcp'
  const schema = shapeOf(kind, isSpoken ? String(dialect) : undefined)
  if (schema === undefined) return refused('dialect', ['native', 'nmea-xdr', 'number'])
  return compileValidator({ schema, httpPart: 'body', method: 'PUT', url: '/api/wire' })(body)
}

const refused = (field: string, known: readonly string[]) => ({
  error: new Refused('bad-input', `${field} must be one of ${known.join(', ')}.`, field),
})
