import type { TSchema } from 'typebox'
import { Compile } from 'typebox/compile'
import { fromCanonical, toCanonical } from './canonical.ts'
import { type HistoryCode, HistoryError } from './errors.ts'
import type { HashedRow } from './hashed-log.ts'
import { exactMs } from './iso-time.ts'

/** The hashes that an entry has besides what is hashed. */
interface Hashes {
  readonly previousHash: string
  readonly hash: string
}

/**
 * How the entries of a log beside the bends are checked, written and read back.
 *
 * @typeParam G As an entry is handed in. @typeParam E The same with what the log adds: what is hashed.
 * @param schema Of every entry; or what gives that of an entry's kind, so that a complaint is about its own fields.
 * @param code What a bad entry is refused with, and the path at fault.
 */
export function makeLogEntry<G extends { readonly at: string }, E extends object>(
  schema: TSchema | ((given: G) => TSchema | undefined),
  code: HistoryCode,
) {
  const compiled = new Map<TSchema, ReturnType<typeof Compile>>()

  function shapeOf(given: G) {
    const one = typeof schema === 'function' ? schema(given) : schema
    if (one === undefined) return refuse('there is no such kind')
    const known = compiled.get(one) ?? Compile(one)
    compiled.set(one, known)
    return known
  }

  function refuse(what: string): never {
    throw new HistoryError(code, { what })
  }

  const evidenceIn = (record: string) => fromCanonical(record) as E

  return {
    refuse,
    check(given: G): void {
      const shape = shapeOf(given)
      if (!shape.Check(given)) {
        const error = shape.Errors(given)[0]
        refuse(`${error?.instancePath || 'it'} ${error?.message ?? 'has another shape'}`)
      }
      if (exactMs(given.at) === null) refuse('at is no time with offset')
    },
    /** @throws HistoryError for what has no canonical text. */
    textOf(evidence: E): string {
      try {
        return toCanonical(evidence)
      } catch (error) {
        return refuse(error instanceof Error ? error.message : String(error))
      }
    },
    evidenceIn,
    entryOf: ({ record, previous_hash, hash }: HashedRow): E & Hashes => ({
      ...evidenceIn(record),
      previousHash: previous_hash.toString('hex'),
      hash: hash.toString('hex'),
    }),
  }
}
