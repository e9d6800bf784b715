import { type Static, type TSchema, Type } from 'typebox'
import * as Value from 'typebox/value'
import { ChainRefused } from './chain-refused.ts'
import { ChainTest } from './chain-test.ts'
import { END, ID } from './names.ts'
import { strict } from './strict.ts'

/** The newest version of the chain file that this program reads. */
const VERSION = 1
/** Far above any chain a person can oversee, and checked in less than a second; a bound, so that a hostile file is cheap. */
const BLOCKS_MAX = 5000
const CONNECTIONS_MAX = 20_000
const TESTS_MAX = 100

const BlockEntry = strict({
  id: Type.String({ pattern: `^${ID}$`, description: 'Name of this block in this chain.' }),
  kind: Type.String({ maxLength: 40, description: 'Which block of the catalogue it is.' }),
  parameters: Type.Optional(Type.Record(Type.String({ maxLength: 40 }), Type.Unknown())),
  code: Type.Optional(
    Type.String({
      pattern: '^[0-9a-f]{64}$',
      description: "SHA-256 of an own block's file; filled in when the chain is checked.",
    }),
  ),
})

const end = (description: string) => Type.String({ pattern: END, description })

const ConnectionEntry = strict({
  from: end('Block and output: decode.counts'),
  to: end('Block and input: unwrap.counts'),
})
export type ConnectionEntry = Static<typeof ConnectionEntry>

/** A chain as a file: blocks and what connects them. Its name and revision stand in every record. */
const ChainFile = strict({
  format: Type.Literal('overbend-chain'),
  version: Type.Literal(VERSION),
  name: Type.String({ pattern: '^[a-z][a-z0-9-]{0,39}$' }),
  revision: Type.Integer({ minimum: 1 }),
  note: Type.Optional(Type.String({ maxLength: 2000 })),
  blocks: Type.Array(BlockEntry, { minItems: 1, maxItems: BLOCKS_MAX }),
  connections: Type.Array(ConnectionEntry, { maxItems: CONNECTIONS_MAX }),
  tests: Type.Optional(
    Type.Array(ChainTest, { maxItems: TESTS_MAX, description: 'Run by chain-test alone.' }),
  ),
})
export type ChainFile = Static<typeof ChainFile>

/** @throws ChainRefused `not a chain` or `newer version`, naming the place in the file. */
export function readChainFile(file: unknown): ChainFile {
  const version = typeof file === 'object' && file !== null && 'version' in file && file.version
  if (typeof version === 'number' && version > VERSION)
    throw new ChainRefused(
      'newer version',
      `The chain file has version ${version}; this program reads up to ${VERSION}. Update it.`,
    )
  refuseTooMany(file, 'blocks', BLOCKS_MAX)
  refuseTooMany(file, 'connections', CONNECTIONS_MAX)
  if (Value.Check(ChainFile, file)) return file
  throw new ChainRefused(
    'not a chain',
    `The chain file is refused: ${firstError(ChainFile, file)}.`,
  )
}

/** Before the schema looks at each of them. */
function refuseTooMany(file: unknown, key: 'blocks' | 'connections', most: number): void {
  const list = (file as Readonly<Record<string, unknown>> | null | undefined)?.[key]
  if (!Array.isArray(list) || list.length <= most) return
  throw new ChainRefused(
    'not a chain',
    `The chain file has ${list.length} ${key}; a chain has ${most} at the most.`,
  )
}

/** The first thing that is wrong with a value, as the middle of a sentence. */
export function firstError(schema: TSchema, value: unknown): string {
  const errors = Value.Errors(schema, value)
  const extra = errors.find((error) => error.keyword === 'additionalProperties')
  if (extra?.keyword === 'additionalProperties')
    return `${place(extra.instancePath)} has unknown keys: ${extra.params.additionalProperties.join(', ')}`
  // Each branch of a union complains before the union does: the union's own complaint is the clear one.
  const error = errors.find((candidate) => candidate.keyword === 'anyOf') ?? errors[0]
  if (error === undefined) return 'it does not match its schema'
  return `${place(error.instancePath)} ${error.message}`
}

const place = (path: string) => (path === '' ? 'it' : path.slice(1).replaceAll('/', '.'))
