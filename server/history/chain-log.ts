import type { Database } from 'better-sqlite3'
import type { ChainRevision, NewChainRevision } from '../messages/chain.ts'
import { type ChainRow, chainRecord } from './chain-record.ts'
import { makeHashedLog } from './hashed-log.ts'

interface Which {
  readonly name: string
  readonly limit: number
  /** Null: of any bender. */
  readonly station: string | null
}

/** The log of revisions of the chain: numbered, chained, never edited; each is one transaction. */
export function makeChainLog(db: Database) {
  const append = makeHashedLog(db, 'chain_log', ['name', 'revision'])
  const lastOf = db
    .prepare<[string], number>('SELECT coalesce(max(revision), 1) FROM chain_log WHERE name = ?')
    .pluck()
  const one = db.prepare<[number], ChainRow>('SELECT * FROM chain_log WHERE id = ?')
  const all = db.prepare<[Which], ChainRow>(`
    SELECT * FROM chain_log WHERE name = @name AND (@station IS NULL OR record ->> '$.station' = @station)
    ORDER BY revision DESC LIMIT @limit`)
  const newestOf = (name: string, limit: number, station: string | null = null) =>
    all.all({ name, limit, station }).map(chainRecord.entryOf)

  const record = db.transaction((given: NewChainRevision): ChainRevision => {
    const revision = (lastOf.get(given.name) ?? 1) + 1
    const textOf = (id: number) => chainRecord.textOf({ id, ...given, revision })
    return chainRecord.entryOf(append(textOf, { name: given.name, revision }))
  })

  return {
    addChainRevision(given: NewChainRevision): ChainRevision {
      chainRecord.check(given)
      return record.immediate(given)
    },
    chainRevision(id: number): ChainRevision | null {
      const row = one.get(id)
      return row === undefined ? null : chainRecord.entryOf(row)
    },
    newestChain: (name: string, station?: string): ChainRevision | null =>
      newestOf(name, 1, station)[0] ?? null,
    chainRevisions: newestOf,
  }
}
